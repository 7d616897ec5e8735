using System.Buffers.Binary;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Capture;

/// <summary>Ethernet, IP and UDP headers around a payload, checksums included (RFC 791, 768, 8200).</summary>
internal static class FrameWriter
{
    private const byte UdpProtocol = 17;

    public static void Ethernet(Span<byte> frame, SourceAddress from, SourceAddress to)
    {
        Mac(frame, to);
        Mac(frame[6..], from);
        BinaryPrimitives.WriteUInt16BigEndian(frame[12..], from.IsIPv4 && to.IsIPv4 ? (ushort)0x0800 : (ushort)0x86DD);
    }

    public static void Udp(Span<byte> packet, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload, ushort identification)
    {
        var v4 = from.IsIPv4 && to.IsIPv4;
        var length = 8 + payload.Length;
        Span<byte> udp;
        uint sum;
        if (v4)
        {
            packet[0] = 0x45;
            BinaryPrimitives.WriteUInt16BigEndian(packet[2..], (ushort)(20 + length));
            BinaryPrimitives.WriteUInt16BigEndian(packet[4..], identification);
            packet[8] = 64;
            packet[9] = UdpProtocol;
            BinaryPrimitives.WriteUInt32BigEndian(packet[12..], from.IPv4Value);
            BinaryPrimitives.WriteUInt32BigEndian(packet[16..], to.IPv4Value);
            BinaryPrimitives.WriteUInt16BigEndian(packet[10..], Fold(Sum(packet[..20])));
            sum = Sum(packet[12..20]);
            udp = packet[20..];
        }
        else
        {
            packet[0] = 0x60;
            BinaryPrimitives.WriteUInt16BigEndian(packet[4..], (ushort)length);
            packet[6] = UdpProtocol;
            packet[7] = 64;
            Write6(packet[8..], from);
            Write6(packet[24..], to);
            sum = Sum(packet[8..40]);
            udp = packet[40..];
        }

        BinaryPrimitives.WriteUInt16BigEndian(udp, from.Port);
        BinaryPrimitives.WriteUInt16BigEndian(udp[2..], to.Port);
        BinaryPrimitives.WriteUInt16BigEndian(udp[4..], (ushort)length);
        payload.CopyTo(udp[8..]);
        var check = Fold(sum + UdpProtocol + (uint)length + Sum(udp[..length]));
        BinaryPrimitives.WriteUInt16BigEndian(udp[6..], check == 0 ? (ushort)0xFFFF : check);
    }

    private static void Write6(Span<byte> target, SourceAddress address)
    {
        BinaryPrimitives.WriteUInt64BigEndian(target, address.High);
        BinaryPrimitives.WriteUInt64BigEndian(target[8..], address.Low);
    }

    // Multicast by RFC 1112 and 2464; others a locally administered address made of the IP address.
    private static void Mac(Span<byte> mac, SourceAddress address)
    {
        if (address.IsIPv4 && address.IPv4Value >> 28 == 0xE)
        {
            ReadOnlySpan<byte> prefix = [0x01, 0x00, 0x5E];
            prefix.CopyTo(mac);
            mac[3] = (byte)((address.IPv4Value >> 16) & 0x7F);
            BinaryPrimitives.WriteUInt16BigEndian(mac[4..], (ushort)address.IPv4Value);
            return;
        }

        var multicast6 = !address.IsIPv4 && address.High >> 56 == 0xFF;
        BinaryPrimitives.WriteUInt16BigEndian(mac, multicast6 ? (ushort)0x3333 : (ushort)0x0200);
        BinaryPrimitives.WriteUInt32BigEndian(mac[2..], (uint)address.Low);
    }

    private static uint Sum(ReadOnlySpan<byte> bytes)
    {
        uint sum = 0;
        for (var i = 0; i + 1 < bytes.Length; i += 2)
        {
            sum += BinaryPrimitives.ReadUInt16BigEndian(bytes[i..]);
        }

        return (bytes.Length & 1) != 0 ? sum + ((uint)bytes[^1] << 8) : sum;
    }

    private static ushort Fold(uint sum)
    {
        while (sum > 0xFFFF)
        {
            sum = (sum & 0xFFFF) + (sum >> 16);
        }

        return (ushort)~sum;
    }
}
