using System.Globalization;
using StageView.Show.Questions;
using StageView.Stage.Moves;

namespace StageView.App.Printing;

/// <summary>How moves are told to people and programs.</summary>
internal static class MovesPrint
{
    public static void Print(MovesAnswer answer, bool dark, bool json)
    {
        if (json)
        {
            Answers.WriteJson(new
            {
                allowed = new { late = answer.Allowed.LateSeconds, off = answer.Allowed.OffDegrees }, moves = answer.All,
                late = answer.Late.Select(Plain), dark = answer.Dark.Select(Plain)
            });
            return;
        }

        PrintLate(answer.Late);
        if (dark)
        {
            PrintDark(answer.Dark);
        }

        Console.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{answer.All} moves, {answer.Dark.Count} of them in the dark; {answer.Late.Count} lit for more than "
            + $"{answer.Allowed.LateSeconds} s while more than {answer.Allowed.OffDegrees}° off"));
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

    private static void PrintLate(IReadOnlyList<FixtureMove> moves)
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
                m.OffMetres > 0 ? string.Create(CultureInfo.InvariantCulture, $"{m.OffMetres:0.00} m")
                    : string.Create(CultureInfo.InvariantCulture, $"{m.OffDegrees:0.0}°"),
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
