using System.Globalization;

namespace StageView.Snapshot.Why;

/// <summary>Names of many fixtures in a few words: "down heads 1 to 6, truss wash 3".</summary>
public static class NameRuns
{
    private const int Most = 3;

    /// <summary>Whether they are one name, or numbers of one name that follow each other.</summary>
    public static bool IsOne(IReadOnlyList<string> names) => Runs(names).Count == 1;

    public static string Fold(IReadOnlyList<string> names)
    {
        ArgumentNullException.ThrowIfNull(names);
        var said = Runs(names).Select(r => r.From is not { } from ? r.Stem : from == r.To ? $"{r.Stem} {from}" : $"{r.Stem}s {from} to {r.To}").ToList();
        return said.Count <= Most ? string.Join(", ", said) : $"{string.Join(", ", said.Take(Most - 1))} and {said.Count - Most + 1} more";
    }

    private static List<(string Stem, int? From, int To)> Runs(IReadOnlyList<string> names)
    {
        // Names of one stem follow each other by number, stems as they come.
        var runs = new List<(string Stem, int? From, int To)>();
        foreach (var (stem, number) in names.Select(Split).GroupBy(n => n.Stem).SelectMany(g => g.OrderBy(n => n.Number)))
        {
            if (runs.Count > 0 && number is { } n && runs[^1] is var last && last.Stem == stem && last.From is not null && last.To == n - 1)
            {
                runs[^1] = last with { To = n };
            }
            else
            {
                runs.Add((stem, number, number ?? 0));
            }
        }

        return runs;
    }

    private static (string Stem, int? Number) Split(string name)
    {
        var at = name.LastIndexOf(' ');
        return at > 0 && int.TryParse(name.AsSpan(at + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var number)
            ? (name[..at], number) : (name, null);
    }
}
