using StageView.Wire.Datagrams;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>
/// Turns packets into the merged levels of each universe, and tells a sink when they change. All of the merge is written down in
/// <c>Levels/README.md</c>. One thread; time is the caller's and never runs backwards; nothing is allocated for a packet once its
/// universe and source are known.
/// </summary>
public sealed partial class UniverseMerger
{
    // Of further ones packets are counted without their sender.
    private const int MostMalformedSenders = 64;

    private readonly WireSettings _settings;
    private readonly ILevelsSink _sink;
    private readonly UniverseState?[]?[] _pages = new UniverseState?[]?[256];
    private readonly List<UniverseState> _universes = [];
    private readonly Dictionary<Cid, Sender> _senders = [];
    private readonly Dictionary<ushort, SyncGroup> _syncs = [];
    private readonly HashSet<int> _reserved = [];
    private readonly Dictionary<SourceAddress, (long Count, Refusal Why)> _malformed = [];
    private readonly byte[] _best = new byte[LevelFold.Size];
    private readonly byte[] _folded = new byte[LevelFold.Size];
    private readonly byte[] _ranks = new byte[LevelFold.Size];
    private readonly uint[] _latest = new uint[LevelFold.Size];
    private TimeSpan _now;

    /// <param name="settings">How packets become levels.</param>
    /// <param name="sink">Is told merged levels as they change; null to only ask <see cref="TryGetLevels"/>.</param>
    public UniverseMerger(WireSettings settings, ILevelsSink? sink = null)
    {
        ArgumentNullException.ThrowIfNull(settings);
        _settings = settings;
        _sink = sink ?? NoSink.Instance;
    }

    /// <summary>Time of the latest packet or <see cref="Advance"/>.</summary>
    public TimeSpan Now => _now;

    public WireCounters Counters { get; } = new();

    /// <summary>Why the latest malformed packet was refused.</summary>
    public Refusal LastRefusal { get; private set; }

    /// <summary>Takes one UDP payload: E1.31 or Art-Net, told apart by their own identifiers.</summary>
    /// <param name="at">Show time; an earlier time than <see cref="Now"/> counts as now.</param>
    /// <param name="from">Who sent it.</param>
    /// <param name="payload">The datagram.</param>
    public PacketOutcome Receive(TimeSpan at, SourceAddress from, ReadOnlySpan<byte> payload)
    {
        Counters.Received++;
        return payload.Length > 0 && payload[0] == (byte)'A' ? ReceiveArtNet(at, from, payload) : ReceiveE131(at, from, payload);
    }

    /// <summary>The merged levels of a universe, all 512. False when no source ever gave any. They are held when every source is gone.</summary>
    public bool TryGetLevels(UniverseNumber universe, out ReadOnlySpan<byte> levels)
    {
        var state = Find(universe);
        if (state is null || !state.HasLevels)
        {
            levels = default;
            return false;
        }

        levels = state.Merged;
        return true;
    }

    /// <summary>Universes that find room however many others are heard: those that are patched.</summary>
    internal void Reserve(IEnumerable<UniverseNumber> universes) => _reserved.UnionWith(universes.Select(u => (int)u.Value));

    private UniverseState? Find(UniverseNumber universe) => _pages[universe.Value >> 8]?[universe.Value & 0xFF];

    private UniverseState? FindOrAdd(UniverseNumber universe)
    {
        if (Find(universe) is { } known)
        {
            return known;
        }

        if (_universes.Count >= _settings.MostUniverses && !_reserved.Contains(universe.Value))
        {
            return null;
        }

        var tie = _settings.TieByUniverse.TryGetValue(universe.Value, out var own) ? own : _settings.Tie;
        var state = new UniverseState(universe, tie);
        (_pages[universe.Value >> 8] ??= new UniverseState?[256])[universe.Value & 0xFF] = state;
        _universes.Add(state);
        return state;
    }

    private PacketOutcome Malformed(TimeSpan at, SourceAddress sender, Refusal why)
    {
        LastRefusal = why;
        Counters.Malformed++;
        var host = sender with { Port = 0 };
        if (_malformed.TryGetValue(host, out var before) || _malformed.Count < MostMalformedSenders)
        {
            _malformed[host] = (before.Count + 1, why);
        }

        Advance(at);
        return PacketOutcome.Malformed;
    }

    private PacketOutcome Ignore(TimeSpan at)
    {
        Counters.Ignored++;
        Advance(at);
        return PacketOutcome.Ignored;
    }

    private PacketOutcome NoRoom(UniverseState? universe)
    {
        Counters.NoRoom++;
        if (universe is not null)
        {
            universe.Refused++;
        }

        return PacketOutcome.NoRoom;
    }

    // Merges and tells the sink when the levels differ from those before. With no source left, the last levels are held.
    private void Merge(UniverseState universe)
    {
        var changed = Fold(universe, out var ready);
        if (ready && (changed || !universe.HasLevels))
        {
            universe.HasLevels = true;
            _sink.OnLevels(universe.Number, _now, universe.Merged);
        }
    }

    private bool Fold(UniverseState universe, out bool ready)
    {
        SourceState? only = null;
        var count = 0;
        foreach (var source in universe.Sources)
        {
            if (source.Ready)
            {
                only = source;
                count++;
            }
        }

        ready = count > 0;
        if (count == 0)
        {
            return false;
        }

        foreach (var source in universe.Sources)
        {
            source.InMerge = source.Ready;
        }

        if (count == 1 && !only!.HasPriorities)
        {
            return Replace(universe.Merged, only.Levels);
        }

        _best.AsSpan().Clear();
        _folded.AsSpan().Clear();
        _latest.AsSpan().Clear();
        foreach (var source in universe.Sources)
        {
            if (!source.Ready)
            {
                continue;
            }

            source.Ranks(_ranks);
            if (universe.Tie == TieRule.Htp)
            {
                LevelFold.Htp(_best, _folded, _ranks, source.Levels);
            }
            else
            {
                LevelFold.Ltp(_best, _folded, _latest, _ranks, source.Levels, source.Stamps!);
            }
        }

        return Replace(universe.Merged, _folded);
    }

    private static bool Replace(byte[] levels, byte[] by)
    {
        if (levels.AsSpan().SequenceEqual(by))
        {
            return false;
        }

        by.CopyTo(levels, 0);
        return true;
    }

    private sealed class NoSink : ILevelsSink
    {
        public static readonly NoSink Instance = new();

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
        {
        }
    }
}
