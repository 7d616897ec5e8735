using System.Buffers.Binary;
using System.Security.Cryptography;
using System.Text;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Capture;

/// <summary>
/// Chooses and changes the packets of a replay: universes, priority, source name, and sequence numbers that run on when a capture is sent again (a receiver
/// drops what lies up to 20 behind, E1.31-2018 §6.7.2). Offsets are those of E1.31-2018 tables 4-1 to 4-3 and of Art-Net 4's ArtDmx.
/// </summary>
internal sealed class ReplayPackets(ReplayPart part)
{
    private const int CidAt = 22, NameAt = 44, NameLength = 64, PriorityAt = 108, SequenceAt = 111, UniverseAt = 113, SyncSequenceAt = 44,
        SyncAddressAt = 45, ArtSequenceAt = 12, ArtPhysicalAt = 13;
    private readonly Dictionary<Stream, Numbers> _numbers = [];
    private readonly byte[] _packet = new byte[ushort.MaxValue];
    private int _pass;

    /// <summary>Sequence numbers go on from those sent so far.</summary>
    public void Again() => _pass++;

    /// <summary>Whether a packet is one of those asked for.</summary>
    public bool Takes(ReadOnlySpan<byte> payload)
    {
        if (part.Universes is not { } universes)
        {
            return true;
        }

        return E131Parser.Kind(payload) switch
        {
            E131PacketKind.Data => payload.Length > UniverseAt + 1 && universes.Contains(BinaryPrimitives.ReadUInt16BigEndian(payload[UniverseAt..])),
            // It offers universes that are left out.
            E131PacketKind.Discovery => false,
            _ => ArtNetParser.OpCode(payload) != ArtOpCode.Dmx || (payload.Length > 15
                && ArtNetMapping.Default.TryMap(BinaryPrimitives.ReadUInt16LittleEndian(payload[14..]), out var universe)
                    && universes.Contains(universe.Value)),
        };
    }

    /// <summary>The stream that a packet counts in; null for one without a sequence number.</summary>
    private static Stream? CountOf(SourceAddress from, ReadOnlySpan<byte> payload) => StreamOf(from, payload) is { } stream
        // One count for a universe of a source, whatever the start code (E1.31-2018 §6.7.2).
        ? stream.Cid == Guid.Empty ? stream : stream with { Kind = 0 }
        : E131Parser.Kind(payload) == E131PacketKind.Sync && payload.Length > SyncAddressAt + 1
            ? new Stream(new Guid(payload.Slice(CidAt, 16)), BinaryPrimitives.ReadUInt16BigEndian(payload[SyncAddressAt..]), 0xFF, 0, 0)
        : null;

    /// <summary>The stream whose levels a packet carries; null for what carries none.</summary>
    public static Stream? StreamOf(SourceAddress from, ReadOnlySpan<byte> payload) =>
        E131Parser.Kind(payload) == E131PacketKind.Data && payload.Length > E131Numbers.HeaderLength - 1
            ? new Stream(new Guid(payload.Slice(CidAt, 16)), BinaryPrimitives.ReadUInt16BigEndian(payload[UniverseAt..]),
                payload[E131Numbers.HeaderLength - 1], 0, 0)
        : ArtNetParser.OpCode(payload) == ArtOpCode.Dmx && payload.Length > 17
            ? new Stream(Guid.Empty, BinaryPrimitives.ReadUInt16LittleEndian(payload[14..]), payload[ArtPhysicalAt], from.High, from.Low)
        : null;

    /// <summary>A packet as it is to be sent; valid until the next.</summary>
    public ReadOnlySpan<byte> Changed(SourceAddress from, ReadOnlySpan<byte> payload)
    {
        if (part.IsAsRecorded && part.Times == 1)
        {
            return payload;
        }

        payload.CopyTo(_packet);
        var packet = _packet.AsSpan(0, payload.Length);
        var kind = E131Parser.Kind(payload);
        var artNet = kind == E131PacketKind.None;
        if (CountOf(from, payload) is { } known)
        {
            var at = artNet ? ArtSequenceAt : kind == E131PacketKind.Sync ? SyncSequenceAt : SequenceAt;
            if (!artNet || packet[at] != 0)
            {
                packet[at] = Number(known, packet[at], artNet);
            }
        }

        if (!artNet)
        {
            Name(packet, kind);
        }

        return packet;
    }

    private void Name(Span<byte> packet, E131PacketKind kind)
    {
        if (kind == E131PacketKind.Data && packet.Length > PriorityAt)
        {
            packet[PriorityAt] = part.Priority ?? packet[PriorityAt];
        }

        if (part.SourceName is not { } name || packet.Length < CidAt + 16)
        {
            return;
        }

        Span<byte> of = stackalloc byte[16 + NameLength];
        of.Clear();
        packet.Slice(CidAt, 16).CopyTo(of);
        Encoding.UTF8.GetBytes(name, of.Slice(16, NameLength - 1));
        if (kind != E131PacketKind.Sync && packet.Length >= NameAt + NameLength)
        {
            of[16..].CopyTo(packet[NameAt..]);
        }

        Span<byte> hash = stackalloc byte[SHA256.HashSizeInBytes];
        SHA256.HashData(of, hash);
        hash[..16].CopyTo(packet[CidAt..]);
        // A UUID made of a hash: RFC 9562, version 8.
        (packet[CidAt + 6], packet[CidAt + 8]) = ((byte)((packet[CidAt + 6] & 0x0F) | 0x80), (byte)((packet[CidAt + 8] & 0x3F) | 0x80));
    }

    /// <summary>A number as recorded in the first pass, later as far from the last one sent as the first was from its first.</summary>
    private byte Number(Stream stream, byte recorded, bool artNet)
    {
        if (!_numbers.TryGetValue(stream, out var n))
        {
            _numbers.Add(stream, n = new Numbers { Pass = _pass });
        }

        // Art-Net counts from 1 to 255.
        var count = artNet ? 255 : 256;
        var (value, low) = artNet ? (recorded - 1, 1) : (recorded, 0);
        if (n.Pass != _pass)
        {
            (n.Pass, n.Shift) = (_pass, n.Last + 1 - value + (2 * count));
        }

        n.Last = (value + n.Shift) % count;
        return (byte)(n.Last + low);
    }

    /// <summary>A source's packets of one kind for one universe.</summary>
    /// <param name="Cid">E1.31's; empty for Art-Net.</param>
    /// <param name="Universe">Or port-address.</param>
    /// <param name="Kind">Start code, or Art-Net's physical port.</param>
    /// <param name="HostHigh">Of Art-Net's sender.</param>
    /// <param name="HostLow">Of Art-Net's sender.</param>
    public readonly record struct Stream(Guid Cid, int Universe, byte Kind, ulong HostHigh, ulong HostLow);

    private sealed class Numbers
    {
        public int Pass { get; set; }

        public int Last { get; set; }

        public int Shift { get; set; }
    }
}
