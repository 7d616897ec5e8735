using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Pairs;

/// <summary>
/// Pairs the frames of two sets by what they show: the change they belong to, found again in the other capture by <see cref="TimingDiff.Pair"/>, what of it
/// they show, and the camera. Frames of times that were asked for, and what is left, pair by name.
/// </summary>
public static class FramePairing
{
    /// <returns>Every frame of both sets once, in order of time and name.</returns>
    public static IReadOnlyList<FramePair> Of(FrameSet before, FrameSet after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var (old, now) = (Heads(before), Heads(after));
        var partner = new Dictionary<string, string>(StringComparer.Ordinal);
        var taken = new HashSet<string>(StringComparer.Ordinal);
        var byShown = old.Where(f => f.Value.Change is not null).ToLookup(f => Shown(f.Value, f.Value.Change!.Value), f => f.Key);
        var candidates = new Dictionary<string, IReadOnlyList<string>>(StringComparer.Ordinal);
        var changes = new ChangePairs(before, old, after, now);
        foreach (var (name, head) in now.Where(f => f.Value.Change is not null))
        {
            candidates[name] = [.. changes.Of(head).SelectMany(c => byShown[Shown(head with { Facts = c.Facts }, c.Change)])];
        }

        // Of the same name first, then of any, then by name alone.
        Take(name => candidates.GetValueOrDefault(name)?.Where(c => c == name) ?? []);
        Take(name => candidates.GetValueOrDefault(name) ?? []);
        Take(name => old.ContainsKey(name) ? [name] : []);
        var pairs = now.Select(f => new FramePair(f.Key, partner.GetValueOrDefault(f.Key), f.Key, f.Value.Seconds))
            .Concat(old.Where(f => !taken.Contains(f.Key))
                .Select(f => new FramePair(now.ContainsKey(f.Key) ? f.Key + " (base)" : f.Key, f.Key, null, f.Value.Seconds)));
        return [.. pairs.OrderBy(p => p.Seconds).ThenBy(p => p.Name, StringComparer.Ordinal)];

        void Take(Func<string, IEnumerable<string>> from)
        {
            foreach (var name in now.Keys.Where(n => !partner.ContainsKey(n)))
            {
                if (from(name).FirstOrDefault(c => !taken.Contains(c)) is { } found)
                {
                    partner[name] = found;
                    taken.Add(found);
                }
            }
        }
    }

    private static (string? Facts, int Change, string? Part, string Camera) Shown(FrameHead head, int change) => (head.Facts, change, head.Part, head.Camera);

    private static SortedDictionary<string, FrameHead> Heads(FrameSet set) =>
        new(set.Frames.ToDictionary(f => f.Key, f => FrameHead.Of(f.Value)), StringComparer.Ordinal);

    /// <summary>The changes of the base's captures that a new frame's change is.</summary>
    private sealed class ChangePairs
    {
        private readonly Dictionary<string, List<(string Facts, int Change)>> _of = new(StringComparer.Ordinal);

        public ChangePairs(FrameSet before, IReadOnlyDictionary<string, FrameHead> old, FrameSet after, IReadOnlyDictionary<string, FrameHead> now)
        {
            var (olds, news) = (Records(before, old), Records(after, now));
            foreach (var (facts, records) in news)
            {
                foreach (var (other, theirs) in olds)
                {
                    // The look before the first change is the same one in every capture.
                    Add(facts, 0, other, 0);
                    foreach (var (a, b) in facts == other ? theirs.Select(c => ((ChangeRecord?)c, (ChangeRecord?)c)) : TimingDiff.Pair(theirs, records))
                    {
                        if (a is not null && b is not null)
                        {
                            Add(facts, b.Number, other, a.Number);
                        }
                    }
                }
            }
        }

        public List<(string Facts, int Change)> Of(FrameHead head) => _of.GetValueOrDefault($"{head.Facts}|{head.Change}") ?? [];

        private void Add(string facts, int change, string other, int theirs)
        {
            if (!_of.TryGetValue($"{facts}|{change}", out var list))
            {
                _of[$"{facts}|{change}"] = list = [];
            }

            list.Add((other, theirs));
        }

        /// <summary>Changes of each facts file that frames name: a set of baselines taken at several times has several.</summary>
        private static Dictionary<string, IReadOnlyList<ChangeRecord>> Records(FrameSet set, IReadOnlyDictionary<string, FrameHead> heads)
        {
            var all = new Dictionary<string, IReadOnlyList<ChangeRecord>>(StringComparer.Ordinal);
            foreach (var (name, head) in heads.Where(h => h.Value is { Change: not null, Facts: not null } && !all.ContainsKey(h.Value.Facts)))
            {
                try
                {
                    all[head.Facts!] = set.Frames[name].FactsOf(head.Facts!)?.Changes ?? [];
                }
                catch (SnapshotException)
                {
                    all[head.Facts!] = [];
                }
            }

            return all;
        }
    }
}
