using System.CommandLine;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Drawings;
using StageView.Ground.Files;
using StageView.Paperwork.Lists;
using StageView.Show;
using StageView.Show.Cautions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview flashes RIG --capture F</c>: what flashes, how fast, and who sees it?</summary>
internal static class FlashesVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var preset = Verb.PresetOption();
        var capture = new Option<string>("--capture")
        {
            Description = "A capture file (pcap or pcapng) with the console's sACN and Art-Net.", HelpName = "FILE", Required = true,
        };
        var from = new Option<string>("--from")
        {
            Description = "Where to begin: " + ShowTime.Help + ". The start when left out.", HelpName = "TIME", DefaultValueFactory = _ => "0",
        };
        var to = new Option<string?>("--to") { Description = "Where to end, written as for --from; the end of the capture when left out.", HelpName = "TIME" };
        var step = new Option<double>("--every")
        {
            Description = "Seconds between moments; flashes up to a quarter as many a second are counted by their light.",
            HelpName = "SECONDS",
            DefaultValueFactory = _ => Math.Round(1 / 60.0, 6),
        };
        var limit = new LimitOption();
        var timeline = new Option<string?>("--timeline") { Description = "Draw a timeline to this .svg or .pdf file, A3.", HelpName = "FILE" };
        var notice = new Option<string?>("--notice") { Description = "Write the words for a notice at the door to this text file.", HelpName = "FILE" };
        var json = Verb.JsonOption();
        var command = new Command(
            "flashes",
            "Counts flashes and red flashes as seats and cameras see them over a show, strobing fixtures, and bright light towards the audience. Reasons to "
            + "look; never a verdict that something is safe. Exit code 1 when anything is above a limit.")
        {
            rig, venue, preset, capture, from, to, step, limit.Option, timeline, notice, json,
        };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), parse.GetValue(preset), Tell.Note);
            var (draw, write) = (parse.GetValue(timeline), parse.GetValue(notice));
            if (draw is not null && !IsPdf(draw) && !Path.GetExtension(draw).Equals(".svg", StringComparison.OrdinalIgnoreCase))
            {
                throw StopException.Wrong($"--timeline {draw}: name a file that ends in .svg or .pdf");
            }

            var path = parse.GetValue(capture)!;
            using var source = SourceChoice.Open(scene, path, null, null);
            var asked = new FlashesAsked
            {
                Step = parse.GetValue(step),
                From = source.Times([parse.GetValue(from)!])[0].Time.TotalSeconds,
                To = parse.GetValue(to) is { } end ? source.Times([end])[0].Time.TotalSeconds : source.End().TotalSeconds,
                Limits = limit.Read(parse, scene.Limits),
            };
            var answer = FlashesQuestion.Answer(source, asked, CueTimes.Cues(path), FlashesPrint.Reporter(Console.Error, !Console.IsErrorRedirected, asked));
            var doubts = Tell.Doubts(source);
            if (draw is not null && answer.AnythingChecked)
            {
                Draw(answer, draw);
            }

            if (write is not null)
            {
                WholeFile.WriteText(write, FlashNotice.Of(answer));
            }

            FlashesPrint.Print(answer, parse.GetValue(json));
            return doubts || !answer.AnythingChecked ? Exit.WrongQuestion : answer.Any ? Exit.No : Exit.Fine;
        });
    }

    private static bool IsPdf(string file) => Path.GetExtension(file).Equals(".pdf", StringComparison.OrdinalIgnoreCase);

    /// <summary>A PDF holds every page; of SVG each further page is a file of its own, with its number.</summary>
    private static void Draw(FlashesAnswer answer, string file)
    {
        var pages = FlashTimeline.Pages(answer);
        if (IsPdf(file))
        {
            WholeFile.Write(file, PdfWriter.Write(pages));
            return;
        }

        for (var i = 0; i < pages.Count; i++)
        {
            WholeFile.WriteText(i == 0 ? file : Path.ChangeExtension(file, null) + $"-{i + 1}.svg", SvgWriter.Write(pages[i]));
        }
    }
}
