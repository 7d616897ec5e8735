using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Files;
using StageView.Show;
using StageView.Show.Load;
using StageView.Show.Nights;
using StageView.Show.Snap;

namespace StageView.App.Verbs;

/// <summary><c>stageview night A B RIG</c>: one night told by another.</summary>
internal static class NightVerb
{
    private const int MostLines = 30;

    public static Command Build()
    {
        var first = new Argument<string>("A") { Description = "The capture of the night that is right." };
        var second = new Argument<string>("B") { Description = "The capture of the night to tell." };
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var secondVenue = new Option<string?>("--second-venue")
        {
            Description = "The venue file of the second night, where that was another.", HelpName = "FILE",
        };
        var secondRig = new Option<string?>("--second-rig") { Description = "The rig file of the second night, where that is another.", HelpName = "FILE" };
        var align = new Option<string>("--align")
        {
            Description = "How times are matched: timecode, cue, best, time, or auto (timecode, else best).", HelpName = "HOW",
            DefaultValueFactory = _ => "auto",
        };
        var step = new Option<double>("--step") { Description = "Seconds between the times looked at.", HelpName = "SECONDS", DefaultValueFactory = _ => .2 };
        var report = new Option<string?>("--report") { Description = "Write it as a page, too.", HelpName = "FILE" };
        var json = Verb.JsonOption();
        var command = new Command("night",
            "Tells one night of a show by another: late cues, changed looks, where light landed, units that stayed dark, timecode, the network, energy. Exit "
            + "code 1: the nights differ, 2: a capture is cut.")
        {
            first, second, rig, venue, secondVenue, secondRig, align, step, report, json,
        };
        return command.Does(parse =>
        {
            if (parse.GetValue(step) is not (>= .02 and <= 10))
            {
                throw StopException.Wrong("--step takes seconds, 0.02 to 10");
            }

            var answer = NightRun.Run(new ShowsAsked(parse.GetValue(rig)!, parse.GetValue(first)!, parse.GetValue(second)!, parse.GetValue(align)!,
                parse.GetValue(step), parse.GetValue(venue), parse.GetValue(secondVenue))
            { SecondRig = parse.GetValue(secondRig) }, Tell.Note);
            if (parse.GetValue(report) is { } page)
            {
                WholeFile.WriteText(page, NightPage.Write(answer));
            }

            if (parse.GetValue(json))
            {
                Answers.WriteJson(answer);
            }
            else
            {
                Print(answer);
            }

            foreach (var doubt in answer.Doubts)
            {
                Tell.Note(doubt);
            }

            return answer.Doubts.Count > 0 ? Exit.WrongQuestion : answer.IsDifference ? Exit.No : Exit.Fine;
        });
    }

    private static void Print(NightAnswer answer)
    {
        Console.WriteLine(NightPage.Summary(answer));
        foreach (var late in answer.Late.Take(MostLines))
        {
            Console.WriteLine($"{late.Title}: " + (late.LateSeconds is { } s ? $"{F(Math.Abs(s))} s {(s > 0 ? "later" : "earlier")}" : "in one night alone")
                + $", at {(late.SecondTimecode ?? late.FirstTimecode ?? F(late.SecondAt ?? late.FirstAt ?? 0) + " s")}");
        }

        foreach (var (words, names) in new[] { ("stayed dark", answer.WentDark), ("lit in neither night", answer.NeverLit) })
        {
            Console.WriteLine(names.Count > 0 ? $"{words}: {string.Join(", ", names.Take(MostLines))}" : $"{words}: none");
        }

        foreach (var p in answer.Looks.Concat(answer.Landings).DistinctBy(p => (p.Name, p.Attribute)).Take(MostLines))
        {
            Console.WriteLine($"{F(p.From)} to {F(p.To)} s  {p.Name}: {p.Attribute}");
        }

        foreach (var missing in answer.Missing)
        {
            Console.WriteLine(missing);
        }

        foreach (var (name, side) in new[] { ("first", answer.First), ("second", answer.Second) })
        {
            Console.WriteLine($"{name} night: {F(side.Load.Kwh)} kWh, worst second {F(side.Load.Worst.Kw)} kW at {LoadPage.At(side.Load.Worst)}; "
                + $"{side.Dropouts.Count} jumps and dropouts of timecode; {side.Network.Findings.Count(f => f.Finding.Stands)} faults of the network");
        }

        Console.WriteLine(LoadAnswer.Caution);
    }

    private static string F(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
