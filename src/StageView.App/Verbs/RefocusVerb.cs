using System.CommandLine;
using System.Text;
using System.Text.Json;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Paperwork.Lists;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Show.Cues;
using StageView.Show.Refocus;

namespace StageView.App.Verbs;

/// <summary><c>stageview refocus RIG --venue TODAY</c>: where every held position of the show is in another venue.</summary>
internal static class RefocusVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = new Option<string?>("--venue") { Description = "Today's venue file.", HelpName = "FILE" };
        var from = new Option<string?>("--from-venue")
        {
            Description = "The venue file that the show was last focused in; the rig as it is when left out.", HelpName = "FILE",
        };
        var capture = new Option<string?>("--capture") { Description = "A capture of the show.", HelpName = "FILE" };
        var looks = new Option<string?>("--looks") { Description = "Instead of a capture: a folder of look files.", HelpName = "DIR" };
        var anchors = new Option<string?>("--anchors")
        {
            Description = "An anchors file that says what positions are for, whatever is guessed (stageview schema anchors).", HelpName = "FILE",
        };
        var folder = new Option<string?>("--out")
        {
            Description = "Folder for the focus sheets (PDF, HTML), the table (CSV, JSON), looks, a cue file and its capture.", HelpName = "DIR",
        };
        var date = new Option<string?>("--date") { Description = "Date or revision for every sheet; today when left out.", HelpName = "TEXT" };
        var json = Verb.JsonOption();
        var command = new Command("refocus",
            "Finds the positions that lit heads hold in a show, what each was for, and the pan and tilt that do the same in another venue. Exit code 1 where a "
            + "position is not there, out of reach, obstructed, or goes into the audience.") { rig, venue, from, capture, looks, anchors, folder, date, json };
        return command.Does(parse =>
        {
            var doubts = 0;
            var (_, after, answer) = new RefocusRequest
            {
                RigFile = parse.GetValue(rig)!, Venue = parse.GetValue(venue), FromVenue = parse.GetValue(from), Capture = parse.GetValue(capture),
                Looks = parse.GetValue(looks), Anchors = parse.GetValue(anchors),
            }.Work(Tell.Note, doubt =>
            {
                Tell.Note(doubt);
                doubts++;
            });
            if (parse.GetValue(folder) is { } to)
            {
                Write(answer, after, to, parse.GetValue(date) ?? PaperStamp.Today(TimeProvider.System));
            }

            RefocusPrint.Print(answer, parse.GetValue(json));
            return doubts > 0 ? Exit.WrongQuestion : answer.NeedsSomebody ? Exit.No : Exit.Fine;
        });
    }

    private static void Write(RefocusAnswer answer, RigScene rig, string folder, string date)
    {
        Directory.CreateDirectory(Path.Combine(folder, "looks"));
        var stamp = PaperStamp.Of(rig, date);
        var sheets = RefocusFiles.Sheets(answer);
        Put("refocus.csv", Encoding.UTF8.GetBytes(TableWriters.Csv(stamp.On(RefocusFiles.Table(answer)))));
        Put("refocus.json", JsonSerializer.SerializeToUtf8Bytes(RefocusPrint.Plain(answer), Answers.Json));
        Put("focus-sheets.html", Encoding.UTF8.GetBytes(TableWriters.Html(stamp, sheets)));
        Put("focus-sheets.pdf", PdfWriter.Write(TablePages.Lay(stamp, sheets)));
        foreach (var (name, text) in RefocusFiles.Looks(answer))
        {
            Put(Path.Combine("looks", name), Encoding.UTF8.GetBytes(text));
        }

        using (var drawing = new MemoryStream())
        {
            foreach (var note in MvrExporter.Export(rig with { FocusPoints = RefocusFiles.FocusPoints(rig, answer) }, drawing))
            {
                Tell.Note("refocus.mvr: " + note);
            }

            Put("refocus.mvr", drawing.ToArray());
        }

        var cues = Put("refocus.cues.jsonc", Encoding.UTF8.GetBytes(RefocusFiles.Cues(answer)));
        var capture = Slashes.Join(folder, "refocus.pcapng");
        WholeFile.Write(capture, stream => CueCapture.Write(CueCapture.Open(rig, cues, Tell.Note), stream));
        Console.Error.WriteLine(capture);

        string Put(string name, byte[] bytes)
        {
            var path = Slashes.Join(folder, name);
            WholeFile.Write(path, stream => stream.Write(bytes));
            Console.Error.WriteLine(path);
            return path;
        }
    }
}
