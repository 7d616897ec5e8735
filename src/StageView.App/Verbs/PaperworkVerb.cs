using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Drawings;
using StageView.Ground.Files;
using StageView.Paperwork.Advance;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.HouseLight;
using StageView.Show.Rigs;

namespace StageView.App.Verbs;

/// <summary><c>stageview paperwork RIG --out DIR</c>: lists and drawings for the crew.</summary>
internal static class PaperworkVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var folder = new Option<string>("--out") { Description = "Folder for the files.", Required = true, HelpName = "DIR" };
        var date = new Option<string?>("--date") { Description = "Date or revision for every sheet; today when left out.", HelpName = "TEXT" };
        var venue = Verb.VenueOption();
        var from = new Option<string?>("--from-venue")
        {
            Description = "Yesterday's venue file: the venue's advance sheet tells the differences from it, too.", HelpName = "FILE",
        };
        var cut = new Option<float>("--cut")
        {
            Description = "Where the section cuts, metres from the centre line; what lies nearer is not drawn.", HelpName = "X",
        };
        var front = new Option<double?>("--front-light")
        {
            Description = "With --venue: its advance sheet tells what is asked of the house's front light, worked out for so many lx at least (verb "
                + "frontlight).",
            HelpName = "LUX",
        };
        var command = new Command("paperwork",
            "Writes patch list, universe sheets, counts, hang list, power and weight as CSV, HTML and PDF; plan, front view and section as SVG and PDF, to "
            + "scale; with a venue also its advance sheet.") { rig, folder, date, venue, from, cut, front };
        return command.Does(parse =>
        {
            var (file, to, house, day) = (parse.GetValue(rig)!, parse.GetValue(folder)!, parse.GetValue(venue),
                parse.GetValue(date) ?? PaperStamp.Today(TimeProvider.System));
            if (house is null && parse.GetValue(front) is not null)
            {
                throw StopException.Wrong("--front-light goes on the advance sheet of a venue: name it with --venue FILE");
            }

            var scene = RigFiles.Open(file, house, tell: Tell.Note);
            var light = parse.GetValue(front) is { } least
                ? HouseLightFiles.Section(HouseLightRun.Answer(scene, new HouseLightAsked { Least = least })) : null;
            var code = Write(scene, to, day, parse.GetValue(cut));
            if (house is not null)
            {
                var yesterday = parse.GetValue(from) is { } before ? RigFiles.Open(file, before) : null;
                Put(to, "advance.pdf", PdfWriter.Write(AdvancePack.Pages(RigFiles.Open(file), scene, yesterday, PaperStamp.Of(scene, day), light)));
            }

            return code;
        });
    }

    private static int Write(RigScene rig, string folder, string date, float cut)
    {
        Directory.CreateDirectory(folder);
        var tables = PaperTables.All(rig);
        var stamp = PaperStamp.Of(rig, date);
        var drawings = RigDrawings.All(rig, stamp, cut);
        foreach (var t in tables)
        {
            Put(folder, t.Name + ".csv", System.Text.Encoding.UTF8.GetBytes(TableWriters.Csv(stamp.On(t))));
        }

        Put(folder, "lists.html", System.Text.Encoding.UTF8.GetBytes(TableWriters.Html(stamp, tables)));
        Put(folder, "lists.pdf", PdfWriter.Write(TablePages.Lay(stamp, tables)));
        foreach (var d in drawings)
        {
            Put(folder, d.Name + ".svg", System.Text.Encoding.UTF8.GetBytes(SvgWriter.Write(d)));
        }

        Put(folder, "drawings.pdf", PdfWriter.Write(drawings));
        Console.WriteLine("power and weight are sums of stated figures: a licensed electrician and a qualified rigger decide");
        return Exit.Fine;
    }

    private static void Put(string folder, string name, byte[] bytes)
    {
        var path = Slashes.Join(folder, name);
        WholeFile.Write(path, bytes);
        Console.WriteLine(path);
    }
}
