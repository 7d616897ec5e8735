using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Snap;
using StageView.Stage;
using StageView.Stage.Changes;

namespace StageView.App.Verbs;

/// <summary><c>stageview shows A B RIG</c>: do two captures put the rig into the same states?</summary>
internal static class ShowsVerb
{
    private const int MostLines = 60;

    public static Command Build()
    {
        var first = new Argument<string>("A") { Description = "The capture that is right." };
        var second = new Argument<string>("B") { Description = "The capture to compare." };
        var rig = Verb.RigArgument();
        var align = new Option<string>("--align")
        {
            Description =
                "How times are matched: timecode (in both captures), cue (changes both have), best (the delay at which they fit best), time (as they are), "
                + "auto (timecode, else best).",
            HelpName = "HOW",
            DefaultValueFactory = _ => "auto",
        };
        var venue = new Option<string?>("--venue") { Description = "A venue file laid over the rig.", HelpName = "FILE" };
        var secondVenue = new Option<string?>("--second-venue")
        {
            Description = "The venue file of the second capture, where that was another city: fixtures are then matched by name, and where their light lands "
                + "is compared instead of pan and tilt.",
            HelpName = "FILE",
        };
        var secondRig = new Option<string?>("--second-rig")
        {
            Description = "The rig file of the second capture, where that is another: fixtures are then matched as in two venues, and contents are compared.",
            HelpName = "FILE",
        };
        var apart = new Option<double>("--apart")
        {
            Description = "Metres within which landings in two venues are the same (common practice, no source).", HelpName = "METRES",
            DefaultValueFactory = _ => ShowsRun.UsualApart,
        };
        var step = new Option<double>("--step") { Description = "Seconds between the times looked at.", HelpName = "SECONDS", DefaultValueFactory = _ => 0.05 };
        var within = new Option<double>("--within")
        {
            Description = "Seconds within which both must have had a state: packets come late, or there are fewer of them.", HelpName = "SECONDS",
            DefaultValueFactory = _ => ShowTolerance.Usual.Seconds,
        };
        var amount = new Option<double>("--amount")
        {
            Description = "A factor on the smallest differences told (.3 % of a range, .05 degrees, 5 mm, 10 K, .05 Hz, 8 levels of a pixel).",
            HelpName = "FACTOR", DefaultValueFactory = _ => 1,
        };
        var json = Verb.JsonOption();
        var command = new Command("shows",
            "Compares two captures by the state of every fixture, without drawing, and lists when and where they part. Exit code 0: same, 1: they part, "
            + "2: a capture is cut or damaged.")
        {
            first, second, rig, venue, secondVenue, secondRig, apart, align, step, within, amount, json,
        };
        return command.Does(parse =>
        {
            var seconds = parse.GetValue(step);
            if (!double.IsFinite(seconds) || seconds is < 0.005 or > 60)
            {
                throw StopException.Wrong("--step takes seconds, 0.005 to 60");
            }

            if (parse.GetValue(apart) is not (> 0 and <= 100))
            {
                throw StopException.Wrong("--apart takes metres, more than 0 and at most 100");
            }

            if (parse.GetValue(within) is not (>= 0 and <= 10) || parse.GetValue(amount) is not (> 0 and <= 1000))
            {
                throw StopException.Wrong("--within takes seconds, 0 to 10, and --amount a factor, more than 0 and at most 1000");
            }

            var answer = ShowsRun.Run(
                new ShowsAsked(parse.GetValue(rig)!, parse.GetValue(first)!, parse.GetValue(second)!, parse.GetValue(align)!, seconds, parse.GetValue(venue),
                    parse.GetValue(secondVenue), parse.GetValue(apart), new ShowTolerance(parse.GetValue(within), parse.GetValue(amount)))
                {
                    SecondRig = parse.GetValue(secondRig),
                },
                Tell.Note);
            if (parse.GetValue(json))
            {
                Answers.WriteJson(new
                {
                    answer.Alignment, same = !answer.IsDifference, answer.Looked, timing = answer.Timing.Select(t => t.ToCause().Text),
                    answer.Partings, answer.Content, answer.Missing, answer.OneSided, answer.Doubts,
                });
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

    private static void Print(ShowsAnswer answer)
    {
        Console.WriteLine($"aligned {answer.Alignment}; looked at {answer.Looked} times");
        foreach (var change in answer.Timing)
        {
            Console.WriteLine(change.ToCause().Text);
        }

        foreach (var missing in answer.Missing)
        {
            Console.WriteLine(missing);
        }

        foreach (var content in answer.Content)
        {
            Console.WriteLine(content);
        }

        // What many fixtures do at the same time is one line.
        var lines = answer.Partings.GroupBy(p => (From: Math.Round(p.From, 2), p.Attribute)).OrderBy(g => g.Key.From).ToList();
        foreach (var group in lines.Take(MostLines))
        {
            var worst = group.MaxBy(p => Math.Abs(p.First - p.Second))!;
            var names = group.Select(p => p.Name).Distinct().ToList();
            Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"{group.Key.From,8:0.00} to {group.Max(p => p.To):0.00} s  {Names(names)}: {group.Key.Attribute} "
                + $"{Values(worst)}"
                + $"{(names.Count > 1 ? $" ({worst.Name})" : "")}"));
        }

        if (lines.Count > MostLines)
        {
            Console.WriteLine($"and {lines.Count - MostLines} more (--json lists all)");
        }

        if (answer.OneSided.Count > 0)
        {
            Console.WriteLine($"not compared, in one venue alone or of another type or mode there: {Names([.. answer.OneSided])}");
        }

        Console.WriteLine(answer.Partings.Count == 0
            ? $"every {(answer.Missing.Count > 0 ? "other " : "")}fixture is in the same state at every time looked at"
            : $"{Counted.Of(answer.Partings.Select(p => p.Name).Distinct().Count(), "fixture parts", "fixtures part")}, first at "
            + $"{answer.Partings[0].From.ToString("0.00", CultureInfo.InvariantCulture)} s");
    }

    private static string Names(List<string> names) =>
        names.Count <= 3 ? string.Join(", ", names) : $"{names[0]}, {names[1]} and {names.Count - 2} more";

    private static string Values(Parting p) => p.Attribute == LandingComparison.Attribute
        ? string.Create(CultureInfo.InvariantCulture, $"{p.Second:0.00} m off, {p.FirstText} -> {p.SecondText}")
        : $"{Value(p.First, p.Unit, p.FirstText)} -> {Value(p.Second, p.Unit, p.SecondText)}";

    private static string Value(double value, string unit, string text)
    {
        var number = value.ToString("0.###", CultureInfo.InvariantCulture) + (unit.Length > 0 ? " " + unit : "");
        return text.Length > 0 ? $"{text} ({number})" : number;
    }
}
