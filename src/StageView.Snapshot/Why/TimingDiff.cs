using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>Pairs the changes of two captures by the looks they arrive at, in order, and tells those that come at another time.</summary>
public static class TimingDiff
{
    /// <summary>Smallest shift told, s: more than one packet at 44 a second.</summary>
    public const double LeastSeconds = 0.03;

    public static IReadOnlyList<TimingChange> Of(IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after)
    {
        var found = new List<TimingChange>();
        foreach (var (a, b) in Pair(before, after))
        {
            var change = new TimingChange(a, b);
            if (a is null || b is null)
            {
                found.Add(change);
                continue;
            }

            var late = b.Start - a.Start;
            var longer = b.Settled - b.Start - (a.Settled - a.Start);
            if (Math.Abs(late) <= LeastSeconds && Math.Abs(longer) <= LeastSeconds)
            {
                continue;
            }

            // The same delay carried on from the change before is one cause.
            if (found.Count > 0 && found[^1] is { Before: { } pa, After: { } pb } last
                && Math.Abs(pb.Start - pa.Start - late) <= LeastSeconds && Math.Abs(longer) <= LeastSeconds
                && pa.Number + last.Followers + 1 == a.Number)
            {
                found[^1] = last with { Followers = last.Followers + 1 };
                continue;
            }

            found.Add(change);
        }

        return found;
    }

    /// <summary>
    /// Longest common run of looks, kept in order. Between two pairs, what is left is paired one to one where both have as many,
    /// and by the names of the cues where they haven't.
    /// </summary>
    public static IEnumerable<(ChangeRecord? A, ChangeRecord? B)> Pair(IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        return Between(before, after, [c => c.Look, c => c.Name ?? ""]);
    }

    private static IEnumerable<(ChangeRecord? A, ChangeRecord? B)> Between(
        IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after, IReadOnlyList<Func<ChangeRecord, string>> keys)
    {
        var (i, j) = (0, 0);
        var matches = LookRun.Common([.. before.Select(keys[0])], [.. after.Select(keys[0])]);
        foreach (var (a, b) in matches.Append((before.Count, after.Count)))
        {
            var (left, right) = (before.Skip(i).Take(a - i).ToList(), after.Skip(j).Take(b - j).ToList());
            var inner = left.Count == right.Count ? left.Zip(right, (x, y) => ((ChangeRecord?)x, (ChangeRecord?)y))
                : keys.Count > 1 ? Between(left, right, [.. keys.Skip(1)])
                : [.. left.Select(x => ((ChangeRecord?)x, (ChangeRecord?)null)), .. right.Select(y => ((ChangeRecord?)null, (ChangeRecord?)y))];
            foreach (var pair in inner)
            {
                yield return pair;
            }

            if (a < before.Count)
            {
                yield return (before[a], after[b]);
            }

            (i, j) = (a + 1, b + 1);
        }
    }
}
