using System.Buffers.Binary;

namespace StageView.Wire.Capture;

/// <summary>pcap: a 24-byte header, then records of 16 bytes and data; micro- or nanosecond stamps, either byte order.</summary>
internal sealed class PcapReader : ContainerReader
{
    private const int HeaderLength = 24;
    private const int RecordHeaderLength = 16;
    private readonly bool _nanoseconds;
    private readonly int _linkType;

    public PcapReader(FileWindow window, string path)
        : base(window, path)
    {
        var there = window.Available(HeaderLength);
        if (there < HeaderLength)
        {
            throw Refuse($"cut short at byte {there}, within the file header; nothing can be read from it. Record it anew.");
        }

        var header = window.Peek(HeaderLength).Span;
        var magic = BinaryPrimitives.ReadUInt32LittleEndian(header);
        BigEndian = magic is 0xD4C3B2A1 or 0x4D3CB2A1;
        _nanoseconds = magic is 0xA1B23C4D or 0x4D3CB2A1;
        // The high bits hold the length of a frame check sequence.
        _linkType = (int)(U32(header[20..]) & 0x0FFF_FFFF);
        window.Skip(HeaderLength);
    }

    public override CaptureInterface[] Interfaces => [];

    public override void Seek(long offset, bool bigEndian, CaptureInterface[] interfaces)
    {
        ClearProblem();
        Window.Seek(offset);
    }

    public override bool TryRead(out RawRecord record)
    {
        record = default;
        if (Problem is not null)
        {
            return false;
        }

        var there = Window.Available(RecordHeaderLength);
        if (there < RecordHeaderLength)
        {
            return there != 0 && Cut(RecordHeaderLength, there);
        }

        var header = Window.Peek(RecordHeaderLength).Span;
        var length = U32(header[8..]);
        if (length > LongestRecord)
        {
            return Damaged($"a record claims {length} bytes");
        }

        var fraction = U32(header[4..]);
        var ticks = (U32(header) * TimeSpan.TicksPerSecond) + (_nanoseconds ? fraction / 100 : fraction * 10L);
        var whole = RecordHeaderLength + (int)length;
        there = Window.Available(whole);
        if (there < whole)
        {
            return Cut(whole, there);
        }

        record = new RawRecord(Window.Offset, ticks, _linkType, Window.Peek(whole)[RecordHeaderLength..]);
        Window.Skip(whole);
        return true;
    }
}
