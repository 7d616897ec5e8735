using System.Buffers.Binary;
using System.Text;

namespace StageView.Wire.ArtNet;

/// <summary>
/// Our answer to ArtPoll: a node that visualises (style 6), four ports a page with the pages bound together by an index from 1. All ports
/// of a page share net and sub-net, so a new page begins where these change.
/// </summary>
public static class ArtPollReply
{
    public const int Length = 239;
    private const int PortsAPage = 4;
    private const byte StyleVisual = 6;

    /// <summary>Which port-addresses each page holds.</summary>
    public static IReadOnlyList<IReadOnlyList<ushort>> Pages(IEnumerable<int> portAddresses)
    {
        var pages = new List<List<ushort>>();
        foreach (var address in portAddresses.Where(a => a is >= 0 and <= 0x7FFF).Distinct().Order())
        {
            var page = pages.Count > 0 ? pages[^1] : null;
            if (page is null || page.Count == PortsAPage || page[0] >> 4 != address >> 4)
            {
                pages.Add(page = []);
            }

            page.Add((ushort)address);
        }

        return pages.Count == 0 ? [[]] : pages;
    }

    /// <summary>Writes one page; the standard answers with one packet a page.</summary>
    /// <param name="buffer">At least <see cref="Length"/> bytes.</param>
    /// <param name="address">Our IPv4 address, big-endian.</param>
    /// <param name="port">Our UDP port.</param>
    /// <param name="ports">At most four port-addresses of one net and sub-net.</param>
    /// <param name="bindIndex">From 1.</param>
    /// <param name="mac">Our hardware address, 6 bytes; empty where there is none, as on loopback.</param>
    /// <param name="receiving">Whether data arrives at each port, in the same order.</param>
    /// <param name="merging">Whether two sources merge at each port.</param>
    public static int Write(Span<byte> buffer, uint address, ushort port, IReadOnlyList<ushort> ports, int bindIndex, ReadOnlySpan<byte> mac,
        Func<ushort, bool> receiving, Func<ushort, bool> merging)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(ports.Count, PortsAPage);
        var b = ArtNetWriter.Begin(buffer, ArtOpCode.PollReply, Length);
        // From byte 10 on this packet has no protocol version.
        BinaryPrimitives.WriteUInt32BigEndian(b[10..], address);
        BinaryPrimitives.WriteUInt16LittleEndian(b[14..], port);
        BinaryPrimitives.WriteUInt16BigEndian(b[16..], 1);
        b[18] = ports.Count > 0 ? (byte)(ports[0] >> 8) : (byte)0;
        b[19] = ports.Count > 0 ? (byte)((ports[0] >> 4) & 0x0F) : (byte)0;
        // OEM unknown, status 1: indicators normal, port-addresses set by the program itself.
        BinaryPrimitives.WriteUInt16BigEndian(b[20..], 0x00FF);
        b[23] = 0xE0;
        Text(b.Slice(26, 18), "StageView");
        Text(b.Slice(44, 64), "StageView, shows what the rig will do");
        Text(b.Slice(108, 64), "#0001 [0000] receiving");
        BinaryPrimitives.WriteUInt16BigEndian(b[172..], (ushort)ports.Count);
        for (var i = 0; i < ports.Count; i++)
        {
            // Can output DMX from the network; good output: data transmitted, merging.
            b[174 + i] = 0x80;
            b[182 + i] = (byte)((receiving(ports[i]) ? 0x80 : 0) | (merging(ports[i]) ? 0x08 : 0));
            b[190 + i] = (byte)(ports[i] & 0x0F);
        }

        b[200] = StyleVisual;
        mac[..Math.Min(mac.Length, 6)].CopyTo(b[201..]);
        BinaryPrimitives.WriteUInt32BigEndian(b[207..], address);
        b[211] = (byte)Math.Min(bindIndex, 255);
        // Status 2: 15-bit port-addresses.
        b[212] = 0x08;
        return Length;
    }

    // NUL-terminated within its field.
    private static void Text(Span<byte> field, string text) => Encoding.ASCII.GetBytes(text.AsSpan(0, Math.Min(text.Length, field.Length - 1)), field);
}
