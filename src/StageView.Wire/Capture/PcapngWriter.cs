using System.Buffers.Binary;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Capture;

/// <summary>Writes UDP datagrams as pcapng that tshark and Wireshark open: one section, one interface, stamps in nanoseconds, checksums in place.</summary>
public sealed class PcapngWriter : IDisposable
{
    private const int LinkEthernet = 1;
    private const int LinkRaw = 101;
    private readonly Stream _stream;
    private readonly bool _ethernet;
    private readonly long _startTicks;
    private byte[] _block = new byte[2048];
    private ushort _identification;

    /// <param name="stream">Where to; disposed with the writer.</param>
    /// <param name="start">The date and time that show time 0 stands for.</param>
    /// <param name="ethernet">Ethernet frames with made-up local MAC addresses; else raw IP.</param>
    /// <param name="application">Named in the section header.</param>
    public PcapngWriter(Stream stream, DateTimeOffset start, bool ethernet = true, string application = "StageView")
    {
        ArgumentNullException.ThrowIfNull(stream);
        ArgumentNullException.ThrowIfNull(application);
        _stream = stream;
        _ethernet = ethernet;
        _startTicks = start.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks;
        WriteSection(application);
        WriteInterface();
    }

    /// <summary>Bytes written so far.</summary>
    public long Length { get; private set; }

    /// <summary>Datagrams written so far.</summary>
    public long Datagrams { get; private set; }

    /// <summary>Writes one datagram.</summary>
    /// <param name="at">Show time.</param>
    /// <param name="from">Sender.</param>
    /// <param name="to">Destination, of the same IP version.</param>
    /// <param name="payload">UDP payload, at most 65,507 bytes over IPv4.</param>
    public void Write(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        ArgumentOutOfRangeException.ThrowIfGreaterThan(payload.Length, 65_507);
        var link = _ethernet ? 14 : 0;
        var ip = from.IsIPv4 && to.IsIPv4 ? 20 : 40;
        var captured = link + ip + 8 + payload.Length;
        var total = 32 + ((captured + 3) & ~3);
        if (_block.Length < total)
        {
            _block = new byte[total];
        }

        var b = _block.AsSpan(0, total);
        b.Clear();
        BinaryPrimitives.WriteUInt32LittleEndian(b, 6);
        BinaryPrimitives.WriteUInt32LittleEndian(b[4..], (uint)total);
        var stamp = (ulong)(_startTicks + at.Ticks) * 100;
        BinaryPrimitives.WriteUInt32LittleEndian(b[12..], (uint)(stamp >> 32));
        BinaryPrimitives.WriteUInt32LittleEndian(b[16..], (uint)stamp);
        BinaryPrimitives.WriteUInt32LittleEndian(b[20..], (uint)captured);
        BinaryPrimitives.WriteUInt32LittleEndian(b[24..], (uint)captured);
        BinaryPrimitives.WriteUInt32LittleEndian(b[^4..], (uint)total);
        var frame = b.Slice(28, captured);
        if (_ethernet)
        {
            FrameWriter.Ethernet(frame, from, to);
        }

        FrameWriter.Udp(frame[link..], from, to, payload, _identification++);
        _stream.Write(b);
        Length += total;
        Datagrams++;
    }

    /// <summary>Hands all that was written to the system: it outlives the end of this process.</summary>
    public void Flush() => _stream.Flush();

    public void Dispose() => _stream.Dispose();

    private void WriteSection(string application)
    {
        var name = System.Text.Encoding.UTF8.GetBytes(application);
        var padded = (name.Length + 3) & ~3;
        var total = 28 + 4 + padded + 4;
        var b = new byte[total];
        BinaryPrimitives.WriteUInt32LittleEndian(b, 0x0A0D0D0A);
        BinaryPrimitives.WriteUInt32LittleEndian(b.AsSpan(4), (uint)total);
        BinaryPrimitives.WriteUInt32LittleEndian(b.AsSpan(8), 0x1A2B3C4D);
        BinaryPrimitives.WriteUInt16LittleEndian(b.AsSpan(12), 1);
        // Section length -1: not said.
        BinaryPrimitives.WriteInt64LittleEndian(b.AsSpan(16), -1);
        // shb_userappl
        BinaryPrimitives.WriteUInt16LittleEndian(b.AsSpan(24), 4);
        BinaryPrimitives.WriteUInt16LittleEndian(b.AsSpan(26), (ushort)name.Length);
        name.CopyTo(b, 28);
        BinaryPrimitives.WriteUInt32LittleEndian(b.AsSpan(total - 4), (uint)total);
        _stream.Write(b);
        Length += total;
    }

    private void WriteInterface()
    {
        const int Total = 32;
        Span<byte> b = stackalloc byte[Total];
        b.Clear();
        BinaryPrimitives.WriteUInt32LittleEndian(b, 1);
        BinaryPrimitives.WriteUInt32LittleEndian(b[4..], Total);
        BinaryPrimitives.WriteUInt16LittleEndian(b[8..], (ushort)(_ethernet ? LinkEthernet : LinkRaw));
        // if_tsresol 10^-9, then the end of options.
        BinaryPrimitives.WriteUInt16LittleEndian(b[16..], 9);
        BinaryPrimitives.WriteUInt16LittleEndian(b[18..], 1);
        b[20] = 9;
        BinaryPrimitives.WriteUInt32LittleEndian(b[28..], Total);
        _stream.Write(b);
        Length += Total;
    }
}
