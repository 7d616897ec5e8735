using System.Buffers.Binary;
using StageView.Wire.Datagrams;
using static StageView.Wire.E131.E131Layout;

namespace StageView.Wire.E131;

/// <summary>Writes E1.31 packets into a caller's buffer; each method returns the packet's length.</summary>
public static class E131Writer
{
    /// <summary>A data packet; at most <see cref="E131Numbers.LongestDataPacket"/> bytes.</summary>
    /// <exception cref="ArgumentException">More than 512 levels, a priority over 200, or a buffer too small.</exception>
    public static int Write(Span<byte> buffer, in E131DataPacket packet)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(packet.Levels.Length, E131Numbers.MostSlots);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(packet.Priority, E131Numbers.HighestPriority);
        var end = StartCode + 1 + packet.Levels.Length;
        var bytes = Begin(buffer, end, RootVectorData, FramingVectorData, packet.Cid);
        Name(bytes, packet.SourceName);
        bytes[Priority] = packet.Priority;
        BinaryPrimitives.WriteUInt16BigEndian(bytes[SyncAddress..], packet.SyncAddress);
        bytes[Sequence] = packet.Sequence;
        bytes[Options] = (byte)((packet.Preview ? OptionPreview : 0) | (packet.Terminated ? OptionTerminated : 0) | (packet.ForceSync ? OptionForceSync : 0));
        BinaryPrimitives.WriteUInt16BigEndian(bytes[Universe..], packet.Universe.Value);
        LengthField(bytes, DmpLength, end);
        bytes[DmpVector] = 0x02;
        bytes[DmpType] = 0xA1;
        BinaryPrimitives.WriteUInt16BigEndian(bytes[Increment..], 1);
        BinaryPrimitives.WriteUInt16BigEndian(bytes[PropertyCount..], (ushort)(packet.Levels.Length + 1));
        bytes[StartCode] = packet.StartCode;
        packet.Levels.CopyTo(bytes[(StartCode + 1)..]);
        return end;
    }

    /// <summary>A synchronisation packet, 49 bytes.</summary>
    public static int Write(Span<byte> buffer, in E131SyncPacket packet)
    {
        var bytes = Begin(buffer, SyncPacketLength, RootVectorExtended, FramingVectorSync, packet.Cid);
        bytes[SyncSequence] = packet.Sequence;
        BinaryPrimitives.WriteUInt16BigEndian(bytes[SyncSyncAddress..], packet.SyncAddress);
        return SyncPacketLength;
    }

    /// <summary>One page of universe discovery; at most 1144 bytes.</summary>
    /// <param name="universes">At most 512, sorted.</param>
    public static int WriteDiscovery(Span<byte> buffer, Cid cid, ReadOnlySpan<byte> sourceName, byte page, byte lastPage, ReadOnlySpan<ushort> universes)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(universes.Length, MostUniversesAPage);
        var end = DiscoveryList + (2 * universes.Length);
        var bytes = Begin(buffer, end, RootVectorExtended, FramingVectorDiscovery, cid);
        Name(bytes, sourceName);
        LengthField(bytes, DiscoveryListLength, end);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[DiscoveryListVector..], ListVectorUniverses);
        bytes[DiscoveryPage] = page;
        bytes[DiscoveryLastPage] = lastPage;
        for (var i = 0; i < universes.Length; i++)
        {
            BinaryPrimitives.WriteUInt16BigEndian(bytes[(DiscoveryList + (2 * i))..], universes[i]);
        }

        return end;
    }

    private static Span<byte> Begin(Span<byte> buffer, int end, uint rootVector, uint framingVector, Cid cid)
    {
        if (buffer.Length < end)
        {
            throw new ArgumentException($"the buffer holds {buffer.Length} bytes; the packet needs {end}", nameof(buffer));
        }

        var bytes = buffer[..end];
        bytes.Clear();
        BinaryPrimitives.WriteUInt16BigEndian(bytes[Preamble..], 0x0010);
        BinaryPrimitives.WriteUInt16BigEndian(bytes[Postamble..], 0x0000);
        AcnIdentifier.CopyTo(bytes[Identifier..]);
        LengthField(bytes, RootLength, end);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[RootVector..], rootVector);
        cid.Write(bytes[E131Layout.Cid..]);
        LengthField(bytes, FramingLength, end);
        BinaryPrimitives.WriteUInt32BigEndian(bytes[FramingVector..], framingVector);
        return bytes;
    }

    private static void Name(Span<byte> bytes, ReadOnlySpan<byte> name) =>
        name[..Math.Min(name.Length, SourceNameLength - 1)].CopyTo(bytes[SourceName..]);

    private static void LengthField(Span<byte> bytes, int offset, int end) =>
        BinaryPrimitives.WriteUInt16BigEndian(bytes[offset..], (ushort)(0x7000 | (end - offset)));
}
