namespace StageView.Wire.ArtNet;

/// <summary>An ArtDmx packet: a view on the datagram, no copy.</summary>
public readonly ref struct ArtDmxPacket
{
    /// <summary>1 to 255; 0 switches the sequence check off.</summary>
    public byte Sequence { get; init; }

    /// <summary>The physical input of the sender; tells two sources at one address apart.</summary>
    public byte Physical { get; init; }

    /// <summary>15 bits: net (7), sub-net (4), universe (4).</summary>
    public ushort PortAddress { get; init; }

    /// <summary>
    /// 1 to 512 values, address 1 first. The protocol asks for an even count of at least 2; senders that send fewer exist and are understood.
    /// </summary>
    public ReadOnlySpan<byte> Levels { get; init; }
}
