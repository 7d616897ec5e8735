using System.Collections.Concurrent;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Sets;

/// <summary>Facts files and their differences, each read and compared once.</summary>
internal sealed class FactsCache
{
    private readonly ConcurrentDictionary<(string, string), (IReadOnlyList<Cause> Whole, IReadOnlyList<TimingChange> Timing)> _differences = new();

    public (IReadOnlyList<Cause> Whole, IReadOnlyList<TimingChange> Timing) Between(FrameEntry a, FrameSidecar sa, FrameEntry b, FrameSidecar sb)
    {
        if (sa.Facts is null || sb.Facts is null || sa.Facts == sb.Facts)
        {
            return ([], []);
        }

        return _differences.GetOrAdd((sa.Facts, sb.Facts), _ =>
        {
            if (a.ReadFacts(sa) is not { } before || b.ReadFacts(sb) is not { } after)
            {
                return ([], []);
            }

            return (FactsDiff.Of(before, after), TimingDiff.Of(before.Changes, after.Changes));
        });
    }

    public IReadOnlyList<Cause> All() => [.. _differences.Values.SelectMany(d => d.Whole).DistinctBy(c => c.Text)];
}
