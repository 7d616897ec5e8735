using System.Globalization;
using StageView.Wire.Health;

namespace StageView.Live.Network;

/// <summary>Findings that differ only by universe, told as one: a desk that is lost is one line and not one for each of its universes.</summary>
internal static class FindingGroups
{
    /// <summary>Universes of one source that stopped within so many seconds stopped together.</summary>
    private const double TogetherSeconds = 3;

    /// <param name="findings">In the order they are to be told.</param>
    /// <returns>In the order of the first of each group; the group of one is the finding itself.</returns>
    public static List<Finding> Of(IReadOnlyList<Finding> findings)
    {
        var groups = new List<List<Finding>>();
        var open = new Dictionary<(FindingKind, bool, string, string), List<List<Finding>>>();
        foreach (var f in findings)
        {
            if (Key(f) is not { } key)
            {
                groups.Add([f]);
                continue;
            }

            if (!open.TryGetValue(key, out var alike))
            {
                open.Add(key, alike = []);
            }

            var group = alike.Find(g => f.Kind != FindingKind.SourceStopped || Math.Abs(g[0].Detail!.Seconds - f.Detail!.Seconds) <= TogetherSeconds);
            if (group is null)
            {
                alike.Add(group = []);
                groups.Add(group);
            }

            group.Add(f);
        }

        return [.. groups.Select(Told)];
    }

    private static (FindingKind, bool, string, string)? Key(Finding f)
    {
        if (f.Universe is null)
        {
            return null;
        }

        if (f.Detail is { } detail)
        {
            return (f.Kind, f.Stands, detail.Who, detail.Does + detail.Tail);
        }

        return Rest(f) is { } rest ? (f.Kind, f.Stands, "", rest) : null;
    }

    /// <summary>The words after <c>universe N</c>, or null where a text begins otherwise.</summary>
    private static string? Rest(Finding f)
    {
        var start = string.Create(CultureInfo.InvariantCulture, $"universe {f.Universe}");
        return f.Text.StartsWith(start, StringComparison.Ordinal) && !char.IsAsciiDigit(f.Text.ElementAtOrDefault(start.Length)) ? f.Text[start.Length..] : null;
    }

    private static Finding Told(List<Finding> group)
    {
        var first = group[0];
        if (group.Count == 1)
        {
            return first;
        }

        var universes = group.Select(f => f.Universe ?? 0).Distinct().Order().ToList();
        var many = universes.Count > 1;
        var where = $"{(many ? "universes" : "universe")} {NetworkTally.Runs(universes)}";
        var together = first.Detail is { } d
            ? (d with { Seconds = group.Min(f => f.Detail!.Seconds), Count = group.Sum(f => f.Detail!.Count), Of = group.Sum(f => f.Detail!.Of) }).Say(first.Kind, where)
            : where + (many ? Plural(Rest(first)!) : Rest(first)!);
        return first with { Universe = many ? null : first.Universe, Text = together, Detail = null };
    }

    private static string Plural(string rest) =>
        rest.StartsWith(" is ", StringComparison.Ordinal) ? " are " + rest[4..]
        : rest.StartsWith(" has ", StringComparison.Ordinal) ? " have " + rest[5..]
        : rest.StartsWith(" also carries ", StringComparison.Ordinal) ? " also carry " + rest[14..]
        : rest;
}
