using System.Buffers.Binary;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>Finds the UDP datagram in a captured frame: Ethernet with VLAN tags, Linux cooked v1 and v2, BSD loopback, raw IP; IPv4 and IPv6.</summary>
internal static class LinkLayer
{
    private const int Null = 0;
    private const int Ethernet = 1;
    private const int RawBsd = 12;
    private const int RawOpenBsd = 14;
    private const int Raw = 101;
    private const int Loop = 108;
    private const int LinuxCooked = 113;
    private const int IPv4Only = 228;
    private const int IPv6Only = 229;
    private const int LinuxCooked2 = 276;
    private const byte Udp = 17;
    private const byte FragmentHeader = 44;

    public static bool IsKnown(int linkType) =>
        linkType is Null or Ethernet or RawBsd or RawOpenBsd or Raw or Loop or LinuxCooked or IPv4Only or IPv6Only or LinuxCooked2;

    /// <summary>False for anything that is no whole UDP datagram (other protocols, fragments, frames cut by the snapshot length).</summary>
    public static bool TryUdp(int linkType, ReadOnlyMemory<byte> frame, out SourceAddress from, out SourceAddress to, out ReadOnlyMemory<byte> payload)
    {
        from = to = default;
        payload = default;
        var ip = IpAt(linkType, frame.Span);
        return ip >= 0 && (frame.Span[ip] >> 4) switch
        {
            4 => TryIPv4(frame[ip..], out from, out to, out payload),
            6 => TryIPv6(frame[ip..], out from, out to, out payload),
            _ => false,
        };
    }

    /// <summary>The fragment of a UDP datagram that a frame holds; false where it holds none, or not all of it.</summary>
    public static bool TryFragment(int linkType, ReadOnlyMemory<byte> frame, out Fragment fragment)
    {
        fragment = default;
        var ip = IpAt(linkType, frame.Span);
        if (ip < 0)
        {
            return false;
        }

        var packet = frame[ip..];
        var b = packet.Span;
        if (b[0] >> 4 == 4 && b.Length >= 20 && b[9] == Udp)
        {
            var field = BinaryPrimitives.ReadUInt16BigEndian(b[6..]);
            int header = 4 * (b[0] & 0x0F), length = BinaryPrimitives.ReadUInt16BigEndian(b[2..]);
            if ((field & 0x3FFF) == 0 || header < 20 || length <= header || b.Length < length)
            {
                return false;
            }

            fragment = new Fragment(SourceAddress.IPv4(b[12..], 0), SourceAddress.IPv4(b[16..], 0), BinaryPrimitives.ReadUInt16BigEndian(b[4..]),
                8 * (field & 0x1FFF), (field & 0x2000) != 0, packet[header..length]);
            return fragment.IsWellFormed;
        }

        return b[0] >> 4 == 6 && TryFragment6(packet, out fragment);
    }

    private static bool TryFragment6(ReadOnlyMemory<byte> packet, out Fragment fragment)
    {
        fragment = default;
        var b = packet.Span;
        if (b.Length < 40)
        {
            return false;
        }

        var end = BinaryPrimitives.ReadUInt16BigEndian(b[4..]) + 40;
        var (next, at) = (b[6], 40);
        while (next is 0 or 43 or 60 && b.Length >= at + 8)
        {
            (next, at) = (b[at], at + 8 + (8 * b[at + 1]));
        }

        if (next != FragmentHeader || b.Length < end || end < at + 8 || b[at] != Udp)
        {
            return false;
        }

        var field = BinaryPrimitives.ReadUInt16BigEndian(b[(at + 2)..]);
        fragment = new Fragment(SourceAddress.IPv6(b[8..], 0), SourceAddress.IPv6(b[24..], 0), BinaryPrimitives.ReadUInt32BigEndian(b[(at + 4)..]),
            field & 0xFFF8, (field & 1) != 0, packet[(at + 8)..end]);
        return fragment.IsWellFormed;
    }

    /// <summary>
    /// Whether a frame that holds no whole datagram held the beginning of one to a port of sACN or Art-Net: its first fragment, or as much of it as the
    /// snapshot length left. Later fragments name no port.
    /// </summary>
    public static bool IsPartOfLevels(int linkType, ReadOnlySpan<byte> frame)
    {
        var ip = IpAt(linkType, frame);
        if (ip < 0)
        {
            return false;
        }

        var b = frame[ip..];
        var (next, at) = (b[0] >> 4) switch
        {
            4 when b.Length >= 20 && (BinaryPrimitives.ReadUInt16BigEndian(b[6..]) & 0x1FFF) == 0 => (b[9], 4 * (b[0] & 0x0F)),
            6 when b.Length >= 48 && b[6] == FragmentHeader && (BinaryPrimitives.ReadUInt16BigEndian(b[42..]) & 0xFFF8) == 0 => (b[40], 48),
            6 when b.Length >= 40 => (b[6], 40),
            _ => ((byte)0, 0),
        };
        return next == Udp && b.Length >= at + 4 && BinaryPrimitives.ReadUInt16BigEndian(b[(at + 2)..]) is E131Numbers.Port or ArtNetNumbers.Port;
    }

    /// <summary>Where the IP packet begins, or -1.</summary>
    private static int IpAt(int linkType, ReadOnlySpan<byte> bytes)
    {
        int ip;
        switch (linkType)
        {
            case Ethernet:
                ip = 14;
                while (bytes.Length >= ip + 4 && BinaryPrimitives.ReadUInt16BigEndian(bytes[(ip - 2)..]) is 0x8100 or 0x88A8 or 0x9100)
                {
                    ip += 4;
                }

                break;
            case LinuxCooked:
                ip = 16;
                while (bytes.Length >= ip + 4 && BinaryPrimitives.ReadUInt16BigEndian(bytes[(ip - 2)..]) is 0x8100 or 0x88A8)
                {
                    ip += 4;
                }

                break;
            case LinuxCooked2:
                ip = 20;
                break;
            case Null or Loop:
                ip = 4;
                break;
            case Raw or RawBsd or RawOpenBsd or IPv4Only or IPv6Only:
                ip = 0;
                break;
            default:
                return -1;
        }

        return bytes.Length > ip ? ip : -1;
    }

    private static bool TryIPv4(ReadOnlyMemory<byte> packet, out SourceAddress from, out SourceAddress to, out ReadOnlyMemory<byte> payload)
    {
        from = to = default;
        payload = default;
        var b = packet.Span;
        if (b.Length < 20 || b[9] != Udp)
        {
            return false;
        }

        var header = 4 * (b[0] & 0x0F);
        var fragment = BinaryPrimitives.ReadUInt16BigEndian(b[6..]) & 0x3FFF;
        if (header < 20 || b.Length < header + 8 || fragment != 0 || !TryPayload(packet[header..], out payload))
        {
            return false;
        }

        from = SourceAddress.IPv4(b[12..], BinaryPrimitives.ReadUInt16BigEndian(b[header..]));
        to = SourceAddress.IPv4(b[16..], BinaryPrimitives.ReadUInt16BigEndian(b[(header + 2)..]));
        return true;
    }

    private static bool TryIPv6(ReadOnlyMemory<byte> packet, out SourceAddress from, out SourceAddress to, out ReadOnlyMemory<byte> payload)
    {
        from = to = default;
        payload = default;
        var b = packet.Span;
        if (b.Length < 40)
        {
            return false;
        }

        var next = b[6];
        var at = 40;
        // Hop-by-hop, routing and destination options may stand before UDP.
        while (next is 0 or 43 or 60 && b.Length >= at + 8)
        {
            next = b[at];
            at += 8 + (8 * b[at + 1]);
        }

        if (next != Udp || b.Length < at + 8 || !TryPayload(packet[at..], out payload))
        {
            return false;
        }

        from = SourceAddress.IPv6(b[8..], BinaryPrimitives.ReadUInt16BigEndian(b[at..]));
        to = SourceAddress.IPv6(b[24..], BinaryPrimitives.ReadUInt16BigEndian(b[(at + 2)..]));
        return true;
    }

    private static bool TryPayload(ReadOnlyMemory<byte> udp, out ReadOnlyMemory<byte> payload)
    {
        payload = default;
        var length = BinaryPrimitives.ReadUInt16BigEndian(udp.Span[4..]);
        if (length < 8 || udp.Length < length)
        {
            return false;
        }

        payload = udp[8..length];
        return true;
    }
}
