using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Show;
using StageView.Show.Load;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Verbs;

/// <summary><c>stageview load RIG --capture F</c>: what the show draws, by feed and phase.</summary>
internal static class LoadVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var capture = new Option<string>("--capture") { Description = "The show.", HelpName = "FILE", Required = true };
        var step = new Option<double>("--step") { Description = "Seconds between the times looked at.", HelpName = "SECONDS", DefaultValueFactory = _ => .2 };
        var cold = new Option<bool>("--cold") { Description = "Lamps were struck when the capture begins: they draw what their warm-up does." };
        var report = new Option<string?>("--report") { Description = "Write it as a page, too, with kW along the show.", HelpName = "FILE" };
        var json = Verb.JsonOption();
        var command = new Command("load",
            "Estimates power from levels: kW by feed and phase along a show, the neutral's current, kWh, the worst second. Exit code 1: a phase draws more "
            + "than its feed is said to carry, 2: the capture is cut.")
        {
            rig, venue, capture, step, cold, report, json,
        };
        return command.Does(parse =>
        {
            if (parse.GetValue(step) is not (>= .02 and <= 1))
            {
                throw StopException.Wrong("--step takes seconds, 0.02 to 1");
            }

            var (file, opened) = (parse.GetValue(capture)!, RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note));
            double end;
            using (var whole = new CaptureShow(opened, file, null, keepHistory: false))
            {
                end = whole.End().TotalSeconds;
            }

            using var show = new CaptureShow(opened, file, null, keepHistory: false);
            var answer = LoadRun.Run(show, parse.GetValue(step), parse.GetValue(cold), CaptureTrack.Of(file), end);
            if (parse.GetValue(report) is { } page)
            {
                WholeFile.WriteText(page, LoadPage.Write(opened.Name, answer));
            }

            if (parse.GetValue(json))
            {
                Answers.WriteJson(new { answer, LoadAnswer.Caution });
            }
            else
            {
                Print(answer);
            }

            return Tell.Doubts(show) ? Exit.WrongQuestion : answer.IsOver ? Exit.No : Exit.Fine;
        });
    }

    private static void Print(LoadAnswer answer)
    {
        Console.WriteLine(LoadPage.Head(answer));
        foreach (var feed in answer.Feeds)
        {
            Console.WriteLine();
            Console.WriteLine(LoadPage.Name(feed));
            Answers.Table(["phase", "fixtures", "full kW", "mean kW", "worst kW", "at", "A", "peak A", "kWh"], feed.Phases.Select(p => (string[])
                [p.Phase == 0 ? "-" : $"L{p.Phase}", F(p.Fixtures, "0"), F(p.FullKw, "0.00"), F(p.MeanKw, "0.00"), F(p.Worst.Kw, "0.00"),
                    LoadPage.At(p.Worst), LoadPage.Amps(p, p.WorstAmps), LoadPage.Amps(p, p.PeakAmps), F(p.Kwh, "0.###")]));
            Console.WriteLine($"{LoadPage.Neutral(feed)} Worst second of the feed {F(feed.Worst.Kw, "0.00")} kW at "
                + $"{LoadPage.At(feed.Worst)}; {F(feed.Kwh, "0.###")} kWh");
            foreach (var p in feed.Phases.Where(p => feed.SaidAmps is { } a && p.Phase > 0 && Math.Max(p.WorstAmps, p.PeakAmps) > a))
            {
                Console.WriteLine($"! L{p.Phase} draws {F(Math.Max(p.WorstAmps, p.PeakAmps), "0.0")} A, the feed is said to carry "
                    + $"{F(feed.SaidAmps!.Value, "0.#")} A");
            }
        }

        Console.WriteLine();
        foreach (var note in LoadPage.Notes(answer))
        {
            Console.WriteLine("- " + note);
        }

        Console.WriteLine(LoadAnswer.Caution);
    }

    private static string F(double value, string format) => value.ToString(format, CultureInfo.InvariantCulture);
}
