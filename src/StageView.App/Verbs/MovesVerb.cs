using System.CommandLine;
using System.Globalization;
using StageView.App.Ending;
using StageView.App.Options;
using StageView.App.Printing;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Moves;

namespace StageView.App.Verbs;

/// <summary><c>stageview moves RIG --capture F</c>: which moves come too late.</summary>
internal static class MovesVerb
{
    public static Command Build()
    {
        var rig = Verb.RigArgument();
        var venue = Verb.VenueOption();
        var capture = new Option<string>("--capture") { Description = "A capture file with the console's sACN and Art-Net.", HelpName = "FILE", Required = true };
        var late = new Option<double>("--late") { Description = "Seconds a lit fixture may still be travelling.", HelpName = "SECONDS", DefaultValueFactory = _ => .1 };
        var off = new Option<double>("--off") { Description = "Degrees its beam may be off meanwhile.", HelpName = "DEGREES", DefaultValueFactory = _ => 1 };
        var winches = new Option<bool>("--winches") { Description = "Winches as well as pan and tilt." };
        var dark = new Option<bool>("--dark") { Description = "Also list moves in the dark, with the time they had to spare." };
        var json = Verb.JsonOption();
        var command = new Command(
            "moves", "Lists fixtures that are lit while still travelling, and whether the dark time before would have been enough. Exit code 1 when any is later and further off than allowed.")
        {
            rig, venue, capture, late, off, winches, dark, json,
        };
        return command.Does(parse =>
        {
            var scene = RigFiles.Open(parse.GetValue(rig)!, parse.GetValue(venue), tell: Tell.Note);
            using var source = new CaptureShow(scene, parse.GetValue(capture)!);
            var answer = MovesQuestion.Answer(source, new MovesAllowed(parse.GetValue(late), parse.GetValue(off)), parse.GetValue(winches));
            if (parse.GetValue(json))
            {
                Answers.WriteJson(new { allowed = new { late = answer.Allowed.LateSeconds, off = answer.Allowed.OffDegrees }, moves = answer.All, late = answer.Late.Select(Plain), dark = answer.Dark.Select(Plain) });
            }
            else
            {
                Print(answer.Late);
                if (parse.GetValue(dark))
                {
                    PrintDark(answer.Dark);
                }

                Console.WriteLine(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{answer.All} moves, {answer.Dark.Count} of them in the dark; {answer.Late.Count} lit for more than {answer.Allowed.LateSeconds} s while more than {answer.Allowed.OffDegrees}° off"));
            }

            if (source.Problem is { } problem)
            {
                Console.Error.WriteLine("stageview: " + problem);
            }

            return answer.Late.Count > 0 ? Exit.No : Exit.Fine;
        });
    }

    private static object Plain(FixtureMove m) => new
    {
        m.Fixture,
        m.Name,
        start = m.Start.TotalSeconds,
        lastCommand = m.LastCommand.TotalSeconds,
        arrival = m.Arrival.TotalSeconds,
        litFrom = m.LitFrom?.TotalSeconds,
        late = m.LateSeconds,
        offDegrees = m.OffDegrees,
        offMetres = m.OffMetres,
        darkBefore = m.DarkBeforeSeconds,
        spare = m.SpareSeconds,
        wouldHaveFitted = m.WouldHaveFitted,
    };

    private static void Print(IReadOnlyList<FixtureMove> moves)
    {
        if (moves.Count == 0)
        {
            return;
        }

        Answers.Table(
            ["fixture", "start", "lit from", "arrival", "late", "off", "in the dark before"],
            moves.Select(m => (string[])
            [
                m.Name, Seconds(m.Start.TotalSeconds), Seconds(m.LitFrom!.Value.TotalSeconds), Seconds(m.Arrival.TotalSeconds), Seconds(m.LateSeconds),
                m.OffMetres > 0 ? string.Create(CultureInfo.InvariantCulture, $"{m.OffMetres:0.00} m") : string.Create(CultureInfo.InvariantCulture, $"{m.OffDegrees:0.0}°"),
                m.WouldHaveFitted ? $"{Seconds(m.DarkBeforeSeconds)} s: would have had time" : $"{Seconds(m.DarkBeforeSeconds)} s: too short",
            ]));
    }

    private static void PrintDark(IReadOnlyList<FixtureMove> moves)
    {
        if (moves.Count > 0)
        {
            Answers.Table(
                ["fixture in the dark", "start", "arrival", "to spare"],
                moves.Select(m => (string[])[m.Name, Seconds(m.Start.TotalSeconds), Seconds(m.Arrival.TotalSeconds), Seconds(m.SpareSeconds)]));
        }
    }

    private static string Seconds(double s) => s.ToString("0.00", CultureInfo.InvariantCulture);
}
