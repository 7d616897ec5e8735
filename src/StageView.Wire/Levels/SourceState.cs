using StageView.Wire.Datagrams;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>One source of one universe: its levels, its rank for each address, its counters.</summary>
internal sealed class SourceState(UniverseState universe, SourceProtocol protocol)
{
    // Weight of the newest interval in the running means.
    private const double Weight = 1.0 / 16;

    // Numbers that may be lost, and echoes that may come, between a packet and the one that goes on after an echo.
    private const int MostSkipped = 3;
    private const int MostEchoed = 3;

    public UniverseState Universe { get; } = universe;

    public SourceProtocol Protocol { get; private set; } = protocol;

    /// <summary>E1.31 only.</summary>
    public Sender? Sender { get; private set; }

    public SourceAddress Address { get; set; }

    /// <summary>Art-Net only: the sender's physical input.</summary>
    public byte Physical { get; private set; }

    /// <summary>From the second address on that sends with this CID. E1.31 only.</summary>
    public CidClash? Clash { get; private set; }

    /// <summary>The latest changes of its levels; kept from when it isn't alone.</summary>
    public LevelTrail? Trail { get; private set; }

    public byte Priority { get; set; }

    public bool Preview { get; set; }

    /// <summary>Sends now: not lost, not terminated.</summary>
    public bool Live { get; set; }

    public bool Terminated { get; set; }

    /// <summary>Has levels that may be merged: data came, and per-address priority came or isn't waited for any more.</summary>
    public bool Ready => Live && HasLevels && !WaitsForPriorities;

    public bool HasLevels { get; set; }

    /// <summary>Took part when its universe was merged last. Stays so while the last levels are held.</summary>
    public bool InMerge { get; set; }

    public byte[] Levels { get; } = new byte[LevelFold.Size];

    public int Slots { get; set; }

    public byte[]? Pending { get; set; }

    public int PendingSlots { get; set; }

    public SyncGroup? PendingFor { get; set; }

    public ushort SyncAddress { get; set; }

    public byte[]? Priorities { get; set; }

    public bool HasPriorities { get; set; }

    public bool WaitsForPriorities { get; set; }

    public TimeSpan WaitStart { get; set; }

    public TimeSpan LastPriorities { get; set; }

    /// <summary>LTP only: running number of each address's last change.</summary>
    public uint[]? Stamps { get; set; }

    public byte Sequence { get; set; }

    public TimeSpan FirstSeen { get; set; }

    public TimeSpan LastSeen { get; set; }

    public TimeSpan LastChange { get; set; }

    public long Packets { get; set; }

    public long Missing { get; set; }

    /// <summary>Bit n: the number n before <see cref="Sequence"/> was counted as missing.</summary>
    public uint Skips { get; set; }

    public long Duplicates { get; set; }

    public long OutOfOrder { get; set; }

    public long Stops { get; set; }

    /// <summary>Numbers that came again after others: echoes, among <see cref="OutOfOrder"/> or taken for a new start.</summary>
    public long Echoes { get; set; }

    /// <summary>Packets with levels.</summary>
    public long LevelPackets { get; private set; }

    /// <summary>Of those, how many came sooner after the one before than a quarter of the time that a line of DMX512 takes for them.</summary>
    public long Bunched { get; private set; }

    public TimeSpan LastLevels { get; private set; }

    /// <summary>Changes of its priority while it was live.</summary>
    public long PriorityChanges { get; set; }

    /// <summary>Packets of per-address priority that the settings ignore.</summary>
    public long PrioritiesIgnored { get; set; }

    /// <summary>Since when it is live.</summary>
    public TimeSpan LiveSince { get; set; }

    /// <summary>The number before the last new start, and packets since; see <see cref="Continues"/>.</summary>
    private (byte Sequence, int Since)? _restarted;

    /// <summary>Packets of preview data that the settings refuse.</summary>
    public long PreviewRefused { get; set; }

    public TimeSpan LastRefused { get; set; }

    public double MeanInterval { get; private set; }

    public double MeanJitter { get; private set; }

    public bool Is(Cid cid) => Protocol == SourceProtocol.E131 && Sender!.Cid == cid;

    public bool Is(SourceAddress from, byte physical) =>
        Protocol == SourceProtocol.ArtNet && Physical == physical && Address.SameHost(from);

    /// <summary>Makes this entry that of another source.</summary>
    public void Reset(SourceProtocol protocol, Sender? sender, SourceAddress from, byte physical, TimeSpan at)
    {
        Protocol = protocol;
        Sender = sender;
        Address = from;
        Physical = physical;
        FirstSeen = at;
        LastChange = at;
        Packets = Missing = Duplicates = OutOfOrder = Stops = PreviewRefused = Echoes = LevelPackets = Bunched = PriorityChanges = PrioritiesIgnored = 0;
        LastLevels = LiveSince = at;
        _restarted = null;
        Skips = 0;
        Clash = null;
        Terminated = false;
        Forget();
        Live = false;
        Stamps?.AsSpan().Clear();
    }

    /// <summary>The same CID under an entry of its own, when it was forgotten meanwhile.</summary>
    public void SentBy(Sender sender) => Sender = sender;

    /// <summary>Starts or stops being heard: what it sent before no longer counts.</summary>
    public void Forget()
    {
        HasLevels = false;
        InMerge = false;
        HasPriorities = false;
        WaitsForPriorities = false;
        PendingSlots = -1;
        PendingFor = null;
        MeanInterval = MeanJitter = 0;
        Trail = null;
        Levels.AsSpan().Clear();
        Slots = 0;
    }

    public void Heard(TimeSpan at)
    {
        if (Packets > 0 && Live)
        {
            var interval = (at - LastSeen).TotalSeconds;
            MeanInterval = MeanInterval == 0 ? interval : MeanInterval + ((interval - MeanInterval) * Weight);
            MeanJitter += (Math.Abs(interval - MeanInterval) - MeanJitter) * Weight;
        }

        Packets++;
        LastSeen = at;
    }

    /// <summary>A packet with levels came.</summary>
    /// <param name="slots">How many.</param>
    /// <param name="at">When.</param>
    public void HeardLevels(int slots, TimeSpan at)
    {
        Bunched += LevelPackets > 0 && (at - LastLevels).TotalSeconds < LineRate.FrameSeconds(slots) / 4 ? 1 : 0;
        LevelPackets++;
        LastLevels = at;
    }

    /// <summary>
    /// Takes note of a number that is no late one. True when it goes on where the numbers were before they seemed to start anew, so that what came
    /// between was an echo of before and nothing is missing.
    /// </summary>
    public bool Continues(byte sequence, int step)
    {
        if (_restarted is var (before, since) && SequenceCheck.Step(before, sequence) is >= 1 and <= MostSkipped)
        {
            Echoes += since;
            _restarted = null;
            return true;
        }

        _restarted = step <= 0 ? (Sequence, 1) : _restarted is var (kept, count) && count < MostEchoed ? (kept, count + 1) : null;
        return false;
    }

    /// <summary>Takes note of where a packet came from, before it is known whether it is used.</summary>
    public void Note(SourceAddress from, byte sequence, ReadOnlySpan<byte> levels, TimeSpan at)
    {
        if (Clash is null && from != Address)
        {
            Clash = new CidClash(Address, LastSeen);
        }

        Clash?.Note(from, sequence, levels, at);
    }

    public void Hold(ReadOnlySpan<byte> levels)
    {
        Pending ??= new byte[LevelFold.Size];
        levels.CopyTo(Pending);
        PendingSlots = levels.Length;
    }

    /// <summary>Takes levels as current. True when anything that the merge sees changed.</summary>
    public bool Apply(ReadOnlySpan<byte> levels, TimeSpan at)
    {
        if (HasLevels && Slots == levels.Length && Levels.AsSpan(0, Slots).SequenceEqual(levels))
        {
            return false;
        }

        if (Universe.Tie == TieRule.Ltp)
        {
            Stamps ??= new uint[LevelFold.Size];
            var clock = ++Universe.ChangeClock;
            for (var i = 0; i < levels.Length; i++)
            {
                if (Levels[i] != levels[i] || !HasLevels)
                {
                    Stamps[i] = clock;
                }
            }
        }

        if (HasLevels && Universe.LiveCount > 1)
        {
            Trail ??= new LevelTrail(Levels, LastChange);
            Trail.Add(levels, at);
        }

        levels.CopyTo(Levels);
        if (Slots > levels.Length)
        {
            Levels.AsSpan(levels.Length, Slots - levels.Length).Clear();
        }

        Slots = levels.Length;
        HasLevels = true;
        LastChange = at;
        return true;
    }

    /// <summary>Rank for each address: 0 where not sourced, else priority + 1.</summary>
    public void Ranks(Span<byte> ranks)
    {
        if (!HasPriorities)
        {
            ranks[..Slots].Fill((byte)(Priority + 1));
            ranks[Slots..].Clear();
            return;
        }

        for (var i = 0; i < Slots; i++)
        {
            var p = Priorities![i];
            ranks[i] = (byte)(p == 0 ? 0 : p + 1);
        }

        ranks[Slots..].Clear();
    }
}
