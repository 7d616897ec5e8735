using System.Buffers.Binary;
using StageView.Wire.Datagrams;

namespace StageView.Wire.ArtNet;

/// <summary>Reads Art-Net packets: pure, bounded, no allocation. Bytes after the packet's own end are ignored.</summary>
public static class ArtNetParser
{
    internal static ReadOnlySpan<byte> Identifier => "Art-Net\0"u8;

    /// <summary>
    /// The operation code, or <see cref="ArtOpCode.None"/> when this is no Art-Net packet. Codes that have no name here are returned as they are.
    /// </summary>
    public static ArtOpCode OpCode(ReadOnlySpan<byte> bytes) =>
        bytes.Length >= 10 && bytes.StartsWith(Identifier) ? (ArtOpCode)BinaryPrimitives.ReadUInt16LittleEndian(bytes[8..]) : ArtOpCode.None;

    /// <summary>Reads ArtDmx.</summary>
    public static bool TryParse(ReadOnlySpan<byte> bytes, out ArtDmxPacket packet, out Refusal why)
    {
        packet = default;
        if (!TryHeader(bytes, ArtOpCode.Dmx, ArtNetNumbers.DmxHeaderLength, out why))
        {
            return false;
        }

        int length = BinaryPrimitives.ReadUInt16BigEndian(bytes[16..]);
        if (length is < 1 or > 512)
        {
            why = new Refusal(RefusalKind.BadLength, 16, length);
            return false;
        }

        if (bytes.Length < ArtNetNumbers.DmxHeaderLength + length)
        {
            why = new Refusal(RefusalKind.TooShort, bytes.Length, ArtNetNumbers.DmxHeaderLength + length);
            return false;
        }

        if (bytes[15] > 0x7F)
        {
            why = new Refusal(RefusalKind.BadField, 15, bytes[15]);
            return false;
        }

        packet = new ArtDmxPacket
        {
            Sequence = bytes[12],
            Physical = bytes[13],
            PortAddress = (ushort)((bytes[15] << 8) | bytes[14]),
            Levels = bytes.Slice(ArtNetNumbers.DmxHeaderLength, length),
        };
        return true;
    }

    /// <summary>Reads ArtPoll: flags at 12, and with bit 5 set the highest port-address at 14 and the lowest at 16.</summary>
    public static bool TryParsePoll(ReadOnlySpan<byte> bytes, out ArtPollPacket packet, out Refusal why)
    {
        packet = default;
        if (!TryHeader(bytes, ArtOpCode.Poll, 12, out why))
        {
            return false;
        }

        var targeted = bytes.Length >= 18 && (bytes[12] & 0x20) != 0;
        packet = targeted
            ? new ArtPollPacket(true, BinaryPrimitives.ReadUInt16BigEndian(bytes[16..]), BinaryPrimitives.ReadUInt16BigEndian(bytes[14..]))
            : new ArtPollPacket(false, 0, 0x7FFF);
        return true;
    }

    /// <summary>Reads ArtSync: nothing but its header.</summary>
    public static bool TryParseSync(ReadOnlySpan<byte> bytes, out Refusal why) => TryHeader(bytes, ArtOpCode.Sync, 12, out why);

    /// <summary>Identifier, operation code, protocol version (at least 14) and least length.</summary>
    internal static bool TryHeader(ReadOnlySpan<byte> bytes, ArtOpCode code, int least, out Refusal why)
    {
        why = default;
        var same = bytes.CommonPrefixLength(Identifier);
        if (same < Math.Min(Identifier.Length, bytes.Length) || bytes.Length == 0)
        {
            why = new Refusal(RefusalKind.NotThisProtocol, same, same < bytes.Length ? bytes[same] : 0);
            return false;
        }

        if (bytes.Length < least)
        {
            why = new Refusal(RefusalKind.TooShort, bytes.Length, least);
            return false;
        }

        var found = BinaryPrimitives.ReadUInt16LittleEndian(bytes[8..]);
        if (found != (ushort)code)
        {
            why = new Refusal(RefusalKind.BadField, 8, found);
            return false;
        }

        var version = BinaryPrimitives.ReadUInt16BigEndian(bytes[10..]);
        if (version < ArtNetNumbers.ProtocolVersion)
        {
            why = new Refusal(RefusalKind.OldVersion, 10, version);
            return false;
        }

        return true;
    }
}
