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

    /// <summary>Longest common run of looks, kept in order; what is left between two pairs is paired by <see cref="ChangeAlignment"/>.</summary>
    public static IEnumerable<(ChangeRecord? A, ChangeRecord? B)> Pair(IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var (i, j, delay) = (0, 0, 0.0);
        foreach (var (a, b) in LookRun.Common([.. before.Select(c => c.Look)], [.. after.Select(c => c.Look)]).Append((before.Count, after.Count)))
        {
            foreach (var pair in ChangeAlignment.Of([.. before.Skip(i).Take(a - i)], [.. after.Skip(j).Take(b - j)], delay))
            {
                yield return pair;
            }

            if (a < before.Count)
            {
                delay = after[b].Start - before[a].Start;
                yield return (before[a], after[b]);
            }

            (i, j) = (a + 1, b + 1);
        }
    }
}
