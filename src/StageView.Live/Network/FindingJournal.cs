using StageView.Live.Night;
using StageView.Wire.Health;

namespace StageView.Live.Network;

/// <summary>
/// Tells faults of the network in the journal when they begin and when they end, in one line for all universes of which the same is said.
/// Who began and who stopped sending, and so what is silent, stands there already.
/// Losses come and go: they are over when none stood for a while, and told once until then.
/// </summary>
internal sealed class FindingJournal(TimeProvider clock, NightJournal journal)
{
    private static readonly TimeSpan QuietBeforeOver = TimeSpan.FromMinutes(10);
    private readonly Dictionary<(FindingKind Kind, int? Universe), (Finding Finding, long SeenAt)> _standing = [];

    /// <param name="found">What one look found, each finding of one universe.</param>
    public void Tell(IReadOnlyList<Finding> found)
    {
        var at = clock.GetTimestamp();
        var begun = new List<Finding>();
        var now = new HashSet<(FindingKind, int?)>();
        foreach (var f in found.Where(f => f.Stands && !IsToldAsTurn(f.Kind)))
        {
            now.Add((f.Kind, f.Universe));
            var known = _standing.TryGetValue((f.Kind, f.Universe), out var before);
            if (!known)
            {
                begun.Add(f);
            }

            _standing[(f.Kind, f.Universe)] = (known ? before.Finding : f, at);
        }

        var over = new List<Finding>();
        bool IsOver(FindingKind kind, long seen) => !ComesAndGoes(kind) || clock.GetElapsedTime(seen, at) >= QuietBeforeOver;
        foreach (var (key, (finding, _)) in _standing.Where(s => !now.Contains(s.Key) && IsOver(s.Key.Kind, s.Value.SeenAt)).ToList())
        {
            _standing.Remove(key);
            over.Add(finding);
        }

        foreach (var f in FindingGroups.Of(over))
        {
            journal.Say("network", FindingWords.Over(f, QuietBeforeOver));
        }

        foreach (var f in FindingGroups.Of(begun))
        {
            journal.Say("network", f.Text);
        }
    }

    private static bool IsToldAsTurn(FindingKind kind) =>
        kind is FindingKind.SourceStopped or FindingKind.SourceEnded or FindingKind.PatchedButSilent or FindingKind.PreviewRefused;

    private static bool ComesAndGoes(FindingKind kind) =>
        kind is FindingKind.PacketsLost or FindingKind.DroppedByThisMachine or FindingKind.TooMany or FindingKind.TooManySources;
}
