using System.CommandLine;
using System.Text;
using System.Text.Json;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.HouseLight;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview frontlight RIG --venue TODAY --least LUX</c>: which of the house's lanterns light the faces, aimed where, how bright.</summary>
internal static class FrontlightVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var preset = Verb.PresetOption();
        var least = new Option<double>("--least") { Description = "The least illuminance at every acting position, lx.", HelpName = "LUX", Required = true };
        var on = new Option<string[]>("--on")
        {
            Description = "Acting positions: an area, a focus point, a performer or a point x,y,z; may be given several times. Without it the rig's "
                + "upright areas, or where there are none its performers, or its focus points. Over a flat area and a point on the floor the face is taken.",
            HelpName = "PLACE",
        };
        var also = new Option<string[]>("--also")
        {
            Description = "Fixtures that may be used beside those that the venue file hangs: names, numbers, groups, or names with *.", HelpName = "FIXTURES",
        };
        var measure = new Option<string>("--measure")
        {
            Description = "What is measured at the face: vertical:x,y (an upright plane facing that way; 0,-1 is the audience), semicylindrical:x,y, "
                + "cylindrical, or camera:NAME.",
            HelpName = "QUANTITY", DefaultValueFactory = _ => "vertical:0,-1",
        };
        var modelling = new Option<string>("--modelling")
        {
            Description = "Ratio of cylindrical to horizontal illuminance that every position shall have, LOW-HIGH.", HelpName = "LOW-HIGH",
            DefaultValueFactory = _ => "0.3-0.6",
        };
        var face = new Option<float>("--face")
        {
            Description = "Height of faces over where people stand, m.", HelpName = "METRES", DefaultValueFactory = _ => 1.5f,
        };
        var camera = new Option<float>("--camera-angle")
        {
            Description = "No camera's lens lies within a beam's field angle and so much more on each side.", HelpName = "DEGREES",
            DefaultValueFactory = _ => 2,
        };
        var clear = new Option<bool>("--clear-air") { Description = "As a plan is calculated: without what the haze takes on the way." };
        var folder = new Option<string?>("--out")
        {
            Description = "Folder for the look, the sheets for the crew (PDF, HTML, CSV) and the answer as JSON.", HelpName = "DIR",
        };
        var aimed = new Option<string?>("--aimed")
        {
            Description = "Write the venue file with the lanterns aimed that are aimed by hand, beside --venue, so that the look can be drawn and measured.",
            HelpName = "FILE",
        };
        var date = new Option<string?>("--date") { Description = "Date or revision for every sheet; today when left out.", HelpName = "TEXT" };
        var json = Verb.JsonOption();
        var command = new Command("frontlight",
            "Chooses among the lanterns of the house which light the faces on stage, aimed where, with which zoom and level: enough everywhere, from two "
            + "sides, near 45 degrees, into no audience and no lens. Says what can't be held, why, and what would have to be hung. Exit code 1 where something "
            + "isn't held.")
        { rig, venue, preset, least, on, also, measure, modelling, face, camera, clear, folder, aimed, date, json };
        return command.Does(parse =>
        {
            var (file, house) = (parse.GetValue(rig)!, parse.GetValue(venue));
            if (parse.GetValue(aimed) is not null && house is null)
            {
                throw StopException.Wrong("--aimed writes a venue file anew: name it with --venue FILE");
            }

            var scene = RigFiles.Open(file, house, parse.GetValue(preset), Tell.Note);
            var answer = HouseLightRun.Answer(scene, new HouseLightAsked
            {
                On = parse.GetValue(on) ?? [], Also = parse.GetValue(also) ?? [], Least = parse.GetValue(least), Measure = parse.GetValue(measure)!,
                Modelling = parse.GetValue(modelling)!, Face = parse.GetValue(face), CameraDegrees = parse.GetValue(camera), ClearAir = parse.GetValue(clear),
            });
            if (parse.GetValue(folder) is { } to)
            {
                Write(answer, scene, to, parse.GetValue(date) ?? PaperStamp.Today(TimeProvider.System));
            }

            if (parse.GetValue(aimed) is { } path)
            {
                HouseLightFiles.WriteVenue(answer, file, house!, path);
                Console.Error.WriteLine(path);
            }
            else if (answer.Used.Any(u => u.Kind == LanternKind.ByHand))
            {
                Tell.Note("lanterns that are aimed by hand look elsewhere in the venue file; --aimed FILE writes one in which they look where the answer says");
            }

            FrontlightPrint.Print(answer, parse.GetValue(json));
            return answer.IsHeld ? Exit.Fine : Exit.No;
        });
    }

    private static void Write(HouseLightAnswer answer, RigScene rig, string folder, string date)
    {
        Directory.CreateDirectory(folder);
        var stamp = PaperStamp.Of(rig, date);
        var sheets = HouseLightFiles.Sheets(answer);
        Put("front-light.look.jsonc", Encoding.UTF8.GetBytes(answer.Look));
        Put("front-light.json", JsonSerializer.SerializeToUtf8Bytes(FrontlightPrint.Plain(answer), Answers.Json));
        Put("front-light.html", Encoding.UTF8.GetBytes(TableWriters.Html(stamp, sheets)));
        Put("front-light.pdf", PdfWriter.Write(TablePages.Lay(stamp, sheets)));
        foreach (var sheet in sheets)
        {
            Put(sheet.Name + ".csv", Encoding.UTF8.GetBytes(TableWriters.Csv(stamp.On(sheet))));
        }

        void Put(string name, byte[] bytes)
        {
            var path = Slashes.Join(folder, name);
            WholeFile.Write(path, stream => stream.Write(bytes));
            Console.Error.WriteLine(path);
        }
    }
}
