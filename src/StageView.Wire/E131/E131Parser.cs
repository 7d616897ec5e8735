using System.Buffers.Binary;
using StageView.Wire.Datagrams;
using StageView.Wire.Universes;
using static StageView.Wire.E131.E131Layout;

namespace StageView.Wire.E131;

/// <summary>Reads E1.31 packets: pure, bounded, no allocation. Bytes after the packet's own end are ignored.</summary>
public static partial class E131Parser
{
    /// <summary>Tells which packet this claims to be, from the root layer and the framing vector.</summary>
    public static E131PacketKind Kind(ReadOnlySpan<byte> bytes)
    {
        if (!TryRoot(bytes, out var vector, out _))
        {
            return E131PacketKind.None;
        }

        var framing = BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]);
        return (vector, framing) switch
        {
            (RootVectorData, FramingVectorData) => E131PacketKind.Data,
            (RootVectorExtended, FramingVectorSync) => E131PacketKind.Sync,
            (RootVectorExtended, FramingVectorDiscovery) => E131PacketKind.Discovery,
            (RootVectorData, FramingVectorDraftDiscovery) => E131PacketKind.Discovery,
            _ => E131PacketKind.None,
        };
    }

    /// <summary>Why <see cref="Kind"/> answered none.</summary>
    public static Refusal WhyNone(ReadOnlySpan<byte> bytes) =>
        TryRoot(bytes, out _, out var why) ? new Refusal(RefusalKind.BadField, FramingVector, BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]))
        : why;

    /// <summary>Reads a data packet (§6.2, §7).</summary>
    public static bool TryParse(ReadOnlySpan<byte> bytes, out E131DataPacket packet, out Refusal why)
    {
        packet = default;
        if (!TryRoot(bytes, out var vector, out why)
            || !Fixed(vector, RootVectorData, RootVector, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]), FramingVectorData, FramingVector, ref why)
            || !Long(bytes, StartCode + 1, ref why))
        {
            return false;
        }

        int properties = BinaryPrimitives.ReadUInt16BigEndian(bytes[PropertyCount..]);
        if (properties is < 1 or > E131Numbers.MostSlots + 1)
        {
            return Refuse(RefusalKind.BadLength, PropertyCount, properties, ref why);
        }

        var end = StartCode + properties;
        if (!Long(bytes, end, ref why)
            || !LengthField(bytes, RootLength, end, ref why)
            || !LengthField(bytes, FramingLength, end, ref why)
            || !LengthField(bytes, DmpLength, end, ref why)
            || !Fixed(bytes[DmpVector], 0x02, DmpVector, ref why)
            || !Fixed(bytes[DmpType], 0xA1, DmpType, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt16BigEndian(bytes[FirstProperty..]), 0, FirstProperty, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt16BigEndian(bytes[Increment..]), 1, Increment, ref why))
        {
            return false;
        }

        int universe = BinaryPrimitives.ReadUInt16BigEndian(bytes[Universe..]);
        if (!UniverseNumber.IsValid(universe))
        {
            return Refuse(RefusalKind.UniverseOutOfRange, Universe, universe, ref why);
        }

        var priority = bytes[Priority];
        if (priority > E131Numbers.HighestPriority)
        {
            return Refuse(RefusalKind.PriorityOutOfRange, Priority, priority, ref why);
        }

        var options = bytes[Options];
        packet = new E131DataPacket
        {
            Cid = Datagrams.Cid.Read(bytes[E131Layout.Cid..]),
            SourceName = Name(bytes),
            Priority = priority,
            SyncAddress = BinaryPrimitives.ReadUInt16BigEndian(bytes[SyncAddress..]),
            Sequence = bytes[Sequence],
            Preview = (options & OptionPreview) != 0,
            Terminated = (options & OptionTerminated) != 0,
            ForceSync = (options & OptionForceSync) != 0,
            Universe = new UniverseNumber(universe),
            StartCode = bytes[StartCode],
            Levels = bytes[(StartCode + 1)..end],
        };
        return true;
    }

    /// <summary>Reads a synchronisation packet (§6.3); address 0 is refused (§6.3.3.1).</summary>
    public static bool TryParseSync(ReadOnlySpan<byte> bytes, out E131SyncPacket packet, out Refusal why)
    {
        packet = default;
        if (!TryRoot(bytes, out var vector, out why)
            || !Fixed(vector, RootVectorExtended, RootVector, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]), FramingVectorSync, FramingVector, ref why)
            || !Long(bytes, SyncPacketLength, ref why)
            || !LengthField(bytes, RootLength, SyncPacketLength, ref why)
            || !LengthField(bytes, FramingLength, SyncPacketLength, ref why))
        {
            return false;
        }

        var address = BinaryPrimitives.ReadUInt16BigEndian(bytes[SyncSyncAddress..]);
        if (!UniverseNumber.IsValid(address))
        {
            return Refuse(RefusalKind.UniverseOutOfRange, SyncSyncAddress, address, ref why);
        }

        packet = new E131SyncPacket(Datagrams.Cid.Read(bytes[E131Layout.Cid..]), bytes[SyncSequence], address);
        return true;
    }

    /// <summary>Reads one page of universe discovery (§6.4, §8), or of the draft of 2014 that ola still sends.</summary>
    public static bool TryParseDiscovery(ReadOnlySpan<byte> bytes, out E131DiscoveryPacket packet, out Refusal why)
    {
        packet = default;
        if (!TryRoot(bytes, out var vector, out why))
        {
            return false;
        }

        if (vector == RootVectorData)
        {
            return TryDraftDiscovery(bytes, out packet, ref why);
        }

        if (!Fixed(vector, RootVectorExtended, RootVector, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]), FramingVectorDiscovery, FramingVector, ref why)
            || !Long(bytes, DiscoveryList, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt32BigEndian(bytes[DiscoveryListVector..]), ListVectorUniverses, DiscoveryListVector, ref why))
        {
            return false;
        }

        var end = DiscoveryListLength + (BinaryPrimitives.ReadUInt16BigEndian(bytes[DiscoveryListLength..]) & 0x0FFF);
        var listBytes = end - DiscoveryList;
        if (listBytes < 0 || listBytes % 2 != 0 || listBytes > 2 * MostUniversesAPage)
        {
            return Refuse(RefusalKind.BadLength, DiscoveryListLength, end - DiscoveryListLength, ref why);
        }

        if (!Long(bytes, end, ref why)
            || !LengthField(bytes, RootLength, end, ref why)
            || !LengthField(bytes, FramingLength, end, ref why)
            || !LengthField(bytes, DiscoveryListLength, end, ref why))
        {
            return false;
        }

        if (bytes[DiscoveryPage] > bytes[DiscoveryLastPage])
        {
            return Refuse(RefusalKind.BadField, DiscoveryPage, bytes[DiscoveryPage], ref why);
        }

        packet = new E131DiscoveryPacket
        {
            Cid = Datagrams.Cid.Read(bytes[E131Layout.Cid..]),
            SourceName = Name(bytes),
            Page = bytes[DiscoveryPage],
            LastPage = bytes[DiscoveryLastPage],
            List = bytes[DiscoveryList..end],
        };
        return true;
    }

    private static bool TryRoot(ReadOnlySpan<byte> bytes, out uint vector, out Refusal why)
    {
        vector = 0;
        why = default;
        // What tells the protocol is looked at first, so that a cut packet of ours is "cut short", not "not this protocol".
        var start = "\0\u0010\0\0ASC-E1.17\0\0\0"u8;
        var same = bytes.CommonPrefixLength(start);
        if (same < Math.Min(start.Length, bytes.Length) || bytes.Length == 0)
        {
            return Refuse(RefusalKind.NotThisProtocol, same, same < bytes.Length ? bytes[same] : 0, ref why);
        }

        if (!Long(bytes, FramingVector + 4, ref why))
        {
            return false;
        }

        vector = BinaryPrimitives.ReadUInt32BigEndian(bytes[RootVector..]);
        return vector is RootVectorData or RootVectorExtended || Refuse(RefusalKind.BadField, RootVector, vector, ref why);
    }

    private static ReadOnlySpan<byte> Name(ReadOnlySpan<byte> bytes)
    {
        var name = bytes.Slice(SourceName, SourceNameLength);
        var end = name.IndexOf((byte)0);
        return end < 0 ? name : name[..end];
    }

    // Flags are the high 4 bits and always 7; the length counts from the field itself to the packet's end.
    private static bool LengthField(ReadOnlySpan<byte> bytes, int offset, int end, ref Refusal why)
    {
        var field = BinaryPrimitives.ReadUInt16BigEndian(bytes[offset..]);
        return field == (0x7000 | (end - offset)) || Refuse(RefusalKind.BadLength, offset, field, ref why);
    }

    private static bool Long(ReadOnlySpan<byte> bytes, int needed, ref Refusal why) =>
        bytes.Length >= needed || Refuse(RefusalKind.TooShort, bytes.Length, needed, ref why);

    private static bool Fixed(uint found, uint expected, int offset, ref Refusal why) =>
        found == expected || Refuse(RefusalKind.BadField, offset, found, ref why);

    private static bool Refuse(RefusalKind kind, int offset, long found, ref Refusal why)
    {
        why = new Refusal(kind, offset, found);
        return false;
    }
}
