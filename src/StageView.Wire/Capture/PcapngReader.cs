using System.Buffers.Binary;

namespace StageView.Wire.Capture;

/// <summary>pcapng: blocks of type, total length, body, total length; sections may differ in byte order.</summary>
internal sealed class PcapngReader : ContainerReader
{
    private const uint SectionHeader = 0x0A0D0D0A;
    private const uint InterfaceDescription = 1;
    private const uint OldPacket = 2;
    private const uint SimplePacket = 3;
    private const uint EnhancedPacket = 6;
    private const uint ByteOrderMagic = 0x1A2B3C4D;
    private const int LongestBlock = 16 << 20;
    private const int MostInterfaces = 4096;

    private readonly List<CaptureInterface> _interfaces = [];
    private long _lastTicks;

    public PcapngReader(FileWindow window, string path)
        : base(window, path)
    {
        var there = window.Available(12);
        if (there < 12)
        {
            throw Refuse($"cut short at byte {there}, within the section header; nothing can be read from it. Record it anew.");
        }
    }

    public override CaptureInterface[] Interfaces => [.. _interfaces];

    public override void Seek(long offset, bool bigEndian, CaptureInterface[] interfaces)
    {
        ClearProblem();
        BigEndian = bigEndian;
        _interfaces.Clear();
        _interfaces.AddRange(interfaces);
        Window.Seek(offset);
    }

    public override bool TryRead(out RawRecord record)
    {
        record = default;
        while (Problem is null)
        {
            var there = Window.Available(12);
            if (there < 12)
            {
                return there != 0 && Cut(12, there);
            }

            var head = Window.Peek(12).Span;
            if (BinaryPrimitives.ReadUInt32LittleEndian(head) == SectionHeader)
            {
                var big = BinaryPrimitives.ReadUInt32BigEndian(head[8..]) == ByteOrderMagic;
                if (!big && BinaryPrimitives.ReadUInt32LittleEndian(head[8..]) != ByteOrderMagic)
                {
                    return Damaged("a section header without its byte-order magic");
                }

                BigEndian = big;
                _interfaces.Clear();
            }

            var type = U32(head);
            var length = U32(head[4..]);
            if (length < 12 || length % 4 != 0 || length > LongestBlock)
            {
                return Damaged($"a block of type {type} claims {length} bytes");
            }

            there = Window.Available((int)length);
            if (there < length)
            {
                return Cut((int)length, there);
            }

            var block = Window.Peek((int)length);
            if (U32(block.Span[^4..]) != length)
            {
                return Damaged($"a block of type {type} says {length} bytes at its start and {U32(block.Span[^4..])} at its end");
            }

            var offset = Window.Offset;
            var body = block[8..^4];
            Window.Skip((int)length);
            switch (type)
            {
                case InterfaceDescription when body.Length >= 8 && _interfaces.Count < MostInterfaces:
                    _interfaces.Add(ReadInterface(body.Span));
                    break;
                case EnhancedPacket or OldPacket when body.Length >= 20:
                    if (Packet(type, offset, body, out record))
                    {
                        return true;
                    }

                    break;
                case SimplePacket when body.Length >= 4 && _interfaces.Count > 0:
                    var captured = (int)Math.Min(U32(body.Span), (uint)body.Length - 4);
                    record = new RawRecord(offset, _lastTicks, _interfaces[0].LinkType, body.Slice(4, captured));
                    return true;
                default:
                    break;
            }
        }

        return false;
    }

    private bool Packet(uint type, long offset, ReadOnlyMemory<byte> body, out RawRecord record)
    {
        record = default;
        var bytes = body.Span;
        var number = type == EnhancedPacket ? U32(bytes) : U16(bytes);
        var captured = U32(bytes[12..]);
        if (number >= _interfaces.Count || captured > body.Length - 20)
        {
            return Damaged(number >= _interfaces.Count
                ? $"a packet of interface {number}, which no block described" : $"a packet claims {captured} bytes in a block of {body.Length}");
        }

        var from = _interfaces[(int)number];
        _lastTicks = from.Ticks(((ulong)U32(bytes[4..]) << 32) | U32(bytes[8..]));
        record = new RawRecord(offset, _lastTicks, from.LinkType, body.Slice(20, (int)captured));
        return true;
    }

    private CaptureInterface ReadInterface(ReadOnlySpan<byte> body)
    {
        var linkType = U16(body);
        var resolution = CaptureInterface.Microseconds;
        var shift = 0L;
        var options = body[8..];
        while (options.Length >= 4)
        {
            var code = U16(options);
            var length = U16(options[2..]);
            if (code == 0 || options.Length < 4 + length)
            {
                break;
            }

            if (code == 9 && length >= 1)
            {
                resolution = options[4];
            }
            else if (code == 14 && length >= 8)
            {
                shift = BigEndian ? BinaryPrimitives.ReadInt64BigEndian(options[4..]) : BinaryPrimitives.ReadInt64LittleEndian(options[4..]);
            }

            var step = 4 + ((length + 3) & ~3);
            options = step >= options.Length ? default : options[step..];
        }

        return new CaptureInterface(linkType, resolution, shift);
    }
}
