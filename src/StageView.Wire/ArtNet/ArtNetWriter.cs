using System.Buffers.Binary;

namespace StageView.Wire.ArtNet;

/// <summary>Writes Art-Net packets into a caller's buffer; each method returns the packet's length.</summary>
public static class ArtNetWriter
{
    /// <summary>
    /// ArtDmx; at most <see cref="ArtNetNumbers.LongestDmxPacket"/> bytes. An odd count of levels is padded with one 0, as the protocol asks for an even
    /// length.
    /// </summary>
    /// <exception cref="ArgumentException">Fewer than 1 or more than 512 levels, a port-address over 15 bits, or a buffer too small.</exception>
    public static int Write(Span<byte> buffer, in ArtDmxPacket packet)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(packet.Levels.Length, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(packet.Levels.Length, 512);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(packet.PortAddress, 0x7FFF);
        var count = (packet.Levels.Length + 1) & ~1;
        var bytes = Begin(buffer, ArtOpCode.Dmx, ArtNetNumbers.DmxHeaderLength + count);
        bytes[12] = packet.Sequence;
        bytes[13] = packet.Physical;
        bytes[14] = (byte)packet.PortAddress;
        bytes[15] = (byte)(packet.PortAddress >> 8);
        BinaryPrimitives.WriteUInt16BigEndian(bytes[16..], (ushort)count);
        packet.Levels.CopyTo(bytes[ArtNetNumbers.DmxHeaderLength..]);
        return bytes.Length;
    }

    internal static Span<byte> Begin(Span<byte> buffer, ArtOpCode code, int length)
    {
        if (buffer.Length < length)
        {
            throw new ArgumentException($"the buffer holds {buffer.Length} bytes; the packet needs {length}", nameof(buffer));
        }

        var bytes = buffer[..length];
        bytes.Clear();
        ArtNetParser.Identifier.CopyTo(bytes);
        BinaryPrimitives.WriteUInt16LittleEndian(bytes[8..], (ushort)code);
        BinaryPrimitives.WriteUInt16BigEndian(bytes[10..], ArtNetNumbers.ProtocolVersion);
        return bytes;
    }
}
