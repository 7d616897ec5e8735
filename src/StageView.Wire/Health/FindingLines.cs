using System.Globalization;

namespace StageView.Wire.Health;

/// <summary>Findings as lines for a reader: what is said of many universes in the same words is said once.</summary>
public static class FindingLines
{
    /// <param name="findings">In the order they are to be told.</param>
    /// <returns>Each line with whether it stands, in the order of the first finding of each.</returns>
    public static IReadOnlyList<(bool Stands, string Text)> Of(IReadOnlyList<Finding> findings)
    {
        ArgumentNullException.ThrowIfNull(findings);
        var groups = new List<(Finding First, string? Words, List<int> Universes)>();
        var byWords = new Dictionary<(FindingKind, bool, string), int>();
        foreach (var f in findings)
        {
            var start = string.Create(CultureInfo.InvariantCulture, $"universe {f.Universe}");
            if (f.Universe is not { } universe || !f.Text.StartsWith(start, StringComparison.Ordinal) || char.IsAsciiDigit(f.Text.ElementAtOrDefault(start.Length)))
            {
                groups.Add((f, null, []));
                continue;
            }

            var rest = f.Text[start.Length..];
            if (!byWords.TryGetValue((f.Kind, f.Stands, rest), out var group))
            {
                group = groups.Count;
                byWords.Add((f.Kind, f.Stands, rest), group);
                groups.Add((f, rest, []));
            }

            groups[group].Universes.Add(universe);
        }

        return [.. groups.Select(g => (g.First.Stands, g.Universes.Count < 2 ? g.First.Text : $"universes {AddressRanges.Write([.. g.Universes.Order()], int.MaxValue)}{Plural(g.Words!)}"))];
    }

    private static string Plural(string rest) =>
        rest.StartsWith(" is ", StringComparison.Ordinal) ? " are " + rest[4..]
        : rest.StartsWith(" has ", StringComparison.Ordinal) ? " have " + rest[5..]
        : rest;
}
