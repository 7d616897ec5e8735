using System.Buffers.Binary;
using StageView.Wire.Datagrams;

namespace StageView.Wire.E131;

/// <summary>One page of an E1.31 universe discovery packet (§6.4, §8): a view on the datagram, no copy.</summary>
public readonly ref struct E131DiscoveryPacket
{
    public Cid Cid { get; init; }

    /// <summary>UTF-8 as sent, without the NUL; print it only through <see cref="PlainText"/>.</summary>
    public ReadOnlySpan<byte> SourceName { get; init; }

    public byte Page { get; init; }

    public byte LastPage { get; init; }

    /// <summary>Universe numbers, big-endian, two bytes each; at most 512.</summary>
    public ReadOnlySpan<byte> List { get; init; }

    public int Count => List.Length / 2;

    public ushort this[int index] => BinaryPrimitives.ReadUInt16BigEndian(List[(2 * index)..]);
}
