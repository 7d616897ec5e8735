using StageView.Wire.Levels;
using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>
/// Looks at a merger again and again and says what is wrong. Rates are those between two looks; sources count as disagreeing
/// where they did in most of the latest looks, three at least, so that two desks in step that are a packet apart are left in peace.
/// </summary>
/// <param name="patch">What the rig uses.</param>
/// <param name="lately">Findings count only what was lost or refused within so many seconds before the newest look; infinite for all since the
/// beginning.</param>
public sealed class HealthWatch(PatchedUniverses patch, double lately = double.PositiveInfinity)
{
    private static readonly (int, string, FindingKind) s_dropped = (0, "", FindingKind.DroppedByThisMachine), s_noRoom = (0, "", FindingKind.TooMany),
        s_malformed = (0, "", FindingKind.Malformed);
    private readonly PaceBook _paces = new();
    private readonly LatelyCounts _lately = new(lately);

    // A look with a disagreement counts so many, one without takes one away.
    private const int Disagrees = 3;
    private const int Lasts = 9;
    private Dictionary<(int Universe, string Source), (long Packets, double At)> _before = [];
    private Dictionary<(int Universe, string Source), (long Packets, double At)> _now = [];
    private readonly Dictionary<int, Dictionary<int, int>> _disagreed = [];
    private (long Count, double At, double Rate) _received;

    /// <summary>One look.</summary>
    /// <param name="merger">Is read only; from its own thread (see <see cref="Sockets.LiveSource.Read"/>).</param>
    /// <param name="kernelDrops">The kernel's count, where there is one.</param>
    /// <param name="sharedPorts">Addresses and ports on which another program listens, too; see <see cref="Sockets.LiveSource.SharedPorts"/>.</param>
    public WireHealth Look(UniverseMerger merger, long? kernelDrops = null, IReadOnlyList<string>? sharedPorts = null)
    {
        ArgumentNullException.ThrowIfNull(merger);
        var now = merger.Health();
        // Only what is known now is kept, so that sources that come and go don't pile up.
        (_before, _now) = (_now, _before);
        _now.Clear();
        kernelDrops = kernelDrops < 0 ? null : kernelDrops;
        _lately.Take(now.At, Counts(now, kernelDrops));
        var before = _received;
        if (now.At - before.At >= 0.05)
        {
            _received = (now.Received, now.At, before.At > 0 ? (now.Received - before.Count) / (now.At - before.At) : 0);
        }

        return now with
        {
            KernelDrops = kernelDrops,
            SharedPorts = sharedPorts ?? [],
            PacketsPerSecond = _received.Rate,
            Universes = [.. _paces.Take(now.At, now.Universes).Select(u => u with
            {
                Sources = [.. u.Sources.Select(s => s with { PacketsPerSecond = Rate(u.Universe, s, now.At) })],
                Disagreements = Lasting(u.Universe, u.Disagreements),
            })],
        };
    }

    /// <summary>What stands out in a look.</summary>
    public IReadOnlyList<Finding> Findings(WireHealth health) => FindingRules.All(Lately(health), patch, _lately.Whole ? null : lately);

    private static (int, string, FindingKind) Key(int universe, SourceHealth s, FindingKind what) => (universe, s.Id, what);

    // All packets of a source are kept beside those missing, as those of FindingKind.SourceStopped.
    private static IEnumerable<((int, string, FindingKind), long)> Counts(WireHealth health, long? drops) =>
    [
        (s_dropped, drops ?? 0), (s_noRoom, health.NoRoom), (s_malformed, health.Malformed),
        .. health.MalformedFrom.Select(m => ((0, m.Host, FindingKind.Malformed), m.Count)),
        .. health.Universes.SelectMany(
            u => u.Sources.SelectMany(s =>
                new[] { (Key(u.Universe, s, FindingKind.PacketsLost), s.Missing), (Key(u.Universe, s, FindingKind.SourceStopped), s.Packets) })
            .Append(((u.Universe, "", FindingKind.TooMany), u.Refused)).Append(((u.Universe, "", FindingKind.OtherStartCodes), u.OtherStartCodes))),
    ];

    private WireHealth Lately(WireHealth health) => _lately.Whole ? health : health with
    {
        KernelDrops = health.KernelDrops is { } drops ? _lately.Of(s_dropped, drops) : null,
        NoRoom = _lately.Of(s_noRoom, health.NoRoom),
        Malformed = _lately.Of(s_malformed, health.Malformed),
        MalformedFrom = [.. health.MalformedFrom.Select(m => m with { Count = _lately.Of((0, m.Host, FindingKind.Malformed), m.Count) })],
        Universes = [.. health.Universes.Select(u => u with
        {
            Refused = _lately.Of((u.Universe, "", FindingKind.TooMany), u.Refused),
            OtherStartCodes = _lately.Of((u.Universe, "", FindingKind.OtherStartCodes), u.OtherStartCodes),
            Sources = [.. u.Sources.Select(s => s with
            {
                Missing = _lately.Of(Key(u.Universe, s, FindingKind.PacketsLost), s.Missing),
                Packets = _lately.Of(Key(u.Universe, s, FindingKind.SourceStopped), s.Packets),
            })],
        })],
    };

    private double Rate(int universe, SourceHealth source, double at)
    {
        var key = (universe, source.Id);
        var packets = source.Packets + source.PreviewRefused;
        var known = _before.TryGetValue(key, out var before);
        if (known && at - before.At < 0.05)
        {
            _now[key] = before;
            return source.IntervalMilliseconds > 0 && source.Standing == SourceStanding.Live ? 1000 / source.IntervalMilliseconds : 0;
        }

        _now[key] = (packets, at);
        if (!known)
        {
            return source.IntervalMilliseconds > 0 && source.Standing == SourceStanding.Live ? 1000 / source.IntervalMilliseconds : 0;
        }

        return Math.Max(0, packets - before.Packets) / (at - before.At);
    }

    private List<int> Lasting(int universe, IReadOnlyList<int> now)
    {
        if (!_disagreed.TryGetValue(universe, out var counts))
        {
            _disagreed.Add(universe, counts = []);
        }

        foreach (var gone in counts.Keys.Except(now).ToArray())
        {
            if (--counts[gone] <= 0)
            {
                counts.Remove(gone);
            }
        }

        foreach (var address in now)
        {
            counts[address] = Math.Min(Lasts, counts.GetValueOrDefault(address) + Disagrees);
        }

        return [.. now.Where(a => counts[a] >= Lasts)];
    }
}
