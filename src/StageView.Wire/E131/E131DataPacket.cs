using StageView.Wire.Datagrams;
using StageView.Wire.Universes;

namespace StageView.Wire.E131;

/// <summary>An E1.31 data packet (§6.2, §7): a view on the datagram, no copy.</summary>
public readonly ref struct E131DataPacket
{
    public Cid Cid { get; init; }

    /// <summary>UTF-8 as sent, without the NUL; print it only through <see cref="PlainText"/>.</summary>
    public ReadOnlySpan<byte> SourceName { get; init; }

    /// <summary>0 to 200.</summary>
    public byte Priority { get; init; }

    /// <summary>The universe whose synchronisation packets release these levels; 0 for none (§6.2.4).</summary>
    public ushort SyncAddress { get; init; }

    public byte Sequence { get; init; }

    /// <summary>Meant for visualisation, not for output (§6.2.6).</summary>
    public bool Preview { get; init; }

    /// <summary>The source ends this universe; the levels are to be ignored (§6.2.6).</summary>
    public bool Terminated { get; init; }

    /// <summary>When synchronisation is lost: true runs on without it, false freezes (§6.2.6).</summary>
    public bool ForceSync { get; init; }

    public UniverseNumber Universe { get; init; }

    public byte StartCode { get; init; }

    /// <summary>0 to 512 values, address 1 first.</summary>
    public ReadOnlySpan<byte> Levels { get; init; }
}
