using StageView.Ground.Words;
using StageView.Paperwork.Patch;

namespace StageView.App.Printing;

/// <summary>How a patch is told to people and programs.</summary>
internal static class PatchPrint
{
    public static void Print(IReadOnlyList<PatchSuggester.Move> moves, bool json)
    {
        if (json)
        {
            Answers.WriteJson(moves.Select(m => new { m.Fixture, m.Break, now = m.Now?.ToString(), proposed = m.Proposed.ToString() }));
            return;
        }

        Answers.Table(
            ["fixture", "break", "now", "proposed"],
            moves.Select(m => (string[])[m.Fixture, $"{m.Break}", m.Now?.ToString() ?? "none", m.Proposed.ToString()]));
        Console.WriteLine($"{moves.Count(m => m.Now is not { } now || now != m.Proposed)} of {moves.Count} would change; nothing was written");
    }

    public static void Print(PatchReport report, bool json)
    {
        if (json)
        {
            Answers.WriteJson(report);
            return;
        }

        Answers.Table(
            ["universe", "used", "attributes", "free runs", "fed by", "positions"],
            report.Universes.Select(u => (string[])
            [
                $"{u.Universe}", $"{u.Used}", $"{u.Attributes}",
                string.Join(" ", u.Free.Select(f => f.From == f.To ? $"{f.From}" : $"{f.From}-{f.To}").DefaultIfEmpty("none")),
                string.Join(", ", u.FedBy.DefaultIfEmpty("-")), string.Join(", ", u.Positions.DefaultIfEmpty("-")),
            ]));
        Console.WriteLine(
            $"{Counted.Of(report.Attributes, "attribute")}{(report.ConsoleAttributes is { } c ? $" of the {c} that the console is said to run" : "")}");
        Console.WriteLine();
        if (report.Savings.Count > 0)
        {
            Answers.Table(
                ["type", "mode", "other mode", "fixtures", "addresses saved", "loses"],
                report.Savings.Select(s => (string[])[s.Profile, s.Mode, s.OtherMode, $"{s.Fixtures}", $"{s.AddressesSaved}", string.Join(" ", s.Loses)]));
        }

        foreach (var f in report.Findings)
        {
            Console.WriteLine($"{f.Kind}: {f.Place}: {f.Text}");
        }
    }
}
