using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Ground.Words;
using StageView.Show;
using StageView.Show.Rigs;
using StageView.Show.Takeover;
using StageView.Stage;
using StageView.Stage.Changes;
using StageView.Wire.Health;

namespace StageView.App.Verbs;

/// <summary><c>stageview takeover RIG --capture F</c>: what would be seen if the backup took over?</summary>
internal static class TakeoverVerb
{
    private const int MostLines = 40;

    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var capture = new Option<string>("--capture") { Description = "A capture in which both desks send.", HelpName = "FILE", Required = true };
        var main = new Option<string?>("--main")
        {
            Description = "The desk that runs the show, by source name or address; else that of higher priority.", HelpName = "DESK",
        };
        var backup = new Option<string?>("--backup") { Description = "The desk that would take over; else the other one.", HelpName = "DESK" };
        var step = new Option<double>("--step") { Description = "Seconds between the times looked at.", HelpName = "SECONDS", DefaultValueFactory = _ => .1 };
        var within = new Option<double>("--within")
        {
            Description = "Seconds by which the backup may be behind (common practice, no source).", HelpName = "SECONDS",
            DefaultValueFactory = _ => TakeoverRun.UsualWithin,
        };
        var split = new Option<string?>("--split")
        {
            Description = "Also write what each desk sent as main.pcapng and backup.pcapng to this folder, for render, live and all else.", HelpName = "FOLDER",
        };
        var json = Verb.JsonOption();
        var command = new Command("takeover",
            "Plays a capture of two desks with each of them alone, and lists where their looks part, the worst moment for a takeover, and what a smaller "
            + "console would have to leave out. Exit code 0: a takeover would not be seen, 1: it would, or a console can't hold the rig, 2: the capture is "
            + "cut.")
        {
            rig, venue, capture, main, backup, step, within, split, json,
        };
        return command.Does(parse =>
        {
            if (parse.GetValue(step) is not (>= .005 and <= 60))
            {
                throw StopException.Wrong("--step takes seconds, 0.005 to 60");
            }

            if (parse.GetValue(within) is not (>= 0 and <= 10))
            {
                throw StopException.Wrong("--within takes seconds, 0 to 10");
            }

            var asked = new TakeoverAsked(parse.GetValue(rig)!, parse.GetValue(capture)!, parse.GetValue(main), parse.GetValue(backup), parse.GetValue(step),
                new ShowTolerance(parse.GetValue(within), 1), parse.GetValue(venue));
            var answer = TakeoverRun.Run(asked, Tell.Note);
            if (parse.GetValue(split) is { } folder)
            {
                TakeoverRun.Split(RigFiles.Open(asked.Rig, asked.Venue), asked.Capture, answer, folder);
            }

            if (parse.GetValue(json))
            {
                Answers.WriteJson(answer);
            }
            else
            {
                Print(answer);
            }

            foreach (var problem in answer.Problems)
            {
                Tell.Note(problem);
            }

            return answer.Problems.Count > 0 ? Exit.WrongQuestion : answer.IsNo ? Exit.No : Exit.Fine;
        });
    }

    private static void Print(TakeoverAnswer a)
    {
        Console.WriteLine($"main: {a.Main.Label} ({a.Why}), {Counted.Of(a.Main.Universes.Count, "universe")}, priority {F(a.Main.Priority)}");
        Console.WriteLine($"backup: {a.Backup.Label}, {Counted.Of(a.Backup.Universes.Count, "universe")}, priority {F(a.Backup.Priority)}");
        Console.WriteLine($"held together from {F(a.From)} to {F(a.To)} s, at {a.Looked} times");
        if (a.NotSent.Count > 0)
        {
            Console.WriteLine($"the backup never sends {(a.NotSent.Count == 1 ? "universe" : "universes")} {AddressRanges.WriteInWords(a.NotSent)}");
        }

        var lines = a.Partings.GroupBy(p => (From: Math.Round(p.From, 2), p.Attribute)).OrderBy(g => g.Key.From).ToList();
        foreach (var group in lines.Take(MostLines))
        {
            var names = group.Select(p => p.Name).Distinct().ToList();
            var farthest = group.MaxBy(p => Math.Abs(p.First - p.Second))!;
            Console.WriteLine($"{F(group.Key.From),8} to {F(group.Max(p => p.To))} s  {Names(names)}: {Values(farthest)}");
        }

        if (lines.Count > MostLines)
        {
            Console.WriteLine($"and {lines.Count - MostLines} more (--json lists all)");
        }

        if (a.Worst is { } worst)
        {
            Console.WriteLine($"worst moment: {F(worst.At)} s{(worst.Timecode is { } label ? $" ({label})" : "")}: "
                + $"{Counted.Of(worst.Fixtures.Count, "fixture")} would be seen to change; a takeover would be seen during {F(a.SeenSeconds)} s in all");
            foreach (var p in worst.Differences)
            {
                Console.WriteLine($"  {p.Name}: {Values(p)}");
            }
        }
        else
        {
            Console.WriteLine(a.Partings.Count > 0 ? "the two part in the dark alone: a takeover would be seen at no time looked at"
                : "both give the same look at every time looked at");
        }

        foreach (var c in a.Consoles)
        {
            Console.WriteLine($"{c.Name}{(c.Role.Length > 0 ? $" ({c.Role})" : "")}: {Held(c.Universes, c.HoldsUniverses, "universe")}, "
                + Held(c.Attributes, c.HoldsAttributes, "attribute"));
            if (c.Sheds)
            {
                var universes = c.ShedUniverses.Count == 0 ? ""
                    : $"{(c.ShedUniverses.Count == 1 ? "universe" : "universes")} {AddressRanges.WriteInWords(c.ShedUniverses)}, ";
                Console.WriteLine($"  would have to leave out {universes}{Counted.Of(c.ShedFixtures.Count, "fixture")} ({Names([.. c.ShedFixtures])}), lit for "
                    + $"{F(c.LitSeconds)} fixture-seconds here");
            }
        }
    }

    private static string Held(int patched, int? holds, string what) => holds is { } most ? $"{patched} of {most} {what}s" : Counted.Of(patched, what);

    private static string Values(Parting p) => $"{p.Attribute} {Value(p.First, p.Unit, p.FirstText)} -> {Value(p.Second, p.Unit, p.SecondText)}";

    private static string Value(double value, string unit, string text)
    {
        var number = value.ToString("0.###", CultureInfo.InvariantCulture) + (unit.Length > 0 ? " " + unit : "");
        return text.Length > 0 ? $"{text} ({number})" : number;
    }

    private static string Names(List<string> names) =>
        names.Count <= 3 ? string.Join(", ", names) : $"{names[0]}, {names[1]} and {names.Count - 2} more";

    private static string F(double value) => value.ToString("0.##", CultureInfo.InvariantCulture);
}
