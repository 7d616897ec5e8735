using System.Globalization;

namespace StageView.Wire.Health;

/// <summary>Findings that differ by universe and amount alone, told as one: a desk that is lost is one line and not one for each of its universes.</summary>
public static class FindingGroups
{
    /// <summary>Universes of one source that stopped within so many seconds stopped together.</summary>
    private const double TogetherSeconds = 3;

    /// <param name="findings">In the order they are to be told, each of one universe or of none.</param>
    /// <returns>In the order of the first of each group; a group of one is the finding itself.</returns>
    public static IReadOnlyList<Finding> Of(IReadOnlyList<Finding> findings)
    {
        ArgumentNullException.ThrowIfNull(findings);
        var groups = new List<List<Finding>>();
        var alike = new Dictionary<string, List<List<Finding>>>(StringComparer.Ordinal);
        foreach (var f in findings)
        {
            if (f.Universes.Count == 0)
            {
                groups.Add([f]);
                continue;
            }

            if (!alike.TryGetValue(Key(f), out var same))
            {
                alike.Add(Key(f), same = []);
            }

            var group = same.Find(g => Together(g[0], f));
            if (group is null)
            {
                same.Add(group = []);
                groups.Add(group);
            }

            group.Add(f);
        }

        return [.. groups.Select(One)];
    }

    /// <summary>All that must be the same for one line to be true of both: everything but the universe and what adds up.</summary>
    private static string Key(Finding f) => string.Create(
        CultureInfo.InvariantCulture,
        $"{f.Kind}|{f.Stands}|{f.Held}|{f.Priority}|{f.Sends}|{f.Needs}|{f.Beside}|{f.StartCode}|{f.PerSecond}|{f.Asked}|{f.WithinSeconds}|{f.Reason}|"
        + $"{string.Join(',', f.Addresses)}|{string.Join('\n', f.Sources)}");

    private static bool Together(Finding a, Finding b) =>
        a.Kind is not (FindingKind.SourceStopped or FindingKind.SourceEnded) || Math.Abs((a.Seconds ?? 0) - (b.Seconds ?? 0)) <= TogetherSeconds;

    private static Finding One(List<Finding> group) => group.Count == 1 ? group[0] : group[0] with
    {
        Universes = [.. group.SelectMany(f => f.Universes).Distinct().Order()],
        Count = group.Sum(f => f.Count),
        Of = group.Sum(f => f.Of),
        Seconds = group.Min(f => f.Seconds),
    };
}
