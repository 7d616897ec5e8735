using System.Buffers.Binary;
using System.Globalization;
using StageView.Ground.Files;

namespace StageView.Wire.Capture;

/// <summary>Walks the records of a pcap or pcapng file in order.</summary>
internal abstract class ContainerReader(FileWindow window, string path)
{
    // tcpdump's own bound on a snapshot.
    protected const int LongestRecord = 262_144 + 4096;

    /// <summary>What stopped the reading before the file's end; null when nothing did.</summary>
    public string? Problem { get; private set; }

    public bool BigEndian { get; protected set; }

    protected FileWindow Window { get; } = window;

    /// <summary>Opens a file by its first bytes.</summary>
    /// <exception cref="CaptureException">No capture, or one cut within its header.</exception>
    public static ContainerReader Open(FileWindow window, string path)
    {
        if (window.Available(4) < 4)
        {
            if (window.Failure is { } failure)
            {
                throw new CaptureException($"{path}: {failure}; nothing can be read from it");
            }

            throw new CaptureException(
                $"{path}: {window.Available(4)} bytes long; no capture. Give a pcap or pcapng file, as tcpdump, dumpcap or tshark write them.");
        }

        var magic = BinaryPrimitives.ReadUInt32LittleEndian(window.Peek(4).Span);
        return magic switch
        {
            0xA1B2C3D4 or 0xD4C3B2A1 or 0xA1B23C4D or 0x4D3CB2A1 => new PcapReader(window, path),
            0x0A0D0D0A => new PcapngReader(window, path),
            _ when StoragePointer.Is(window.Peek(Math.Min(64, window.Available(64))).Span) => throw new CaptureException($"{path}: {StoragePointer.Told}"),
            _ =>
                throw new CaptureException(
                    $"{path}: byte 0 begins with {Hex(window.Peek(4).Span)}, which is neither pcap nor pcapng. Give a capture as tcpdump, dumpcap or tshark "
                    + $"write them, as it is or compressed by gzip or zstd."),
        };
    }

    /// <summary>The next record, or false at the end; then <see cref="Problem"/> tells whether the end was clean.</summary>
    public abstract bool TryRead(out RawRecord record);

    /// <summary>What a reader must know to begin at a record in the middle; empty where the file's header says all.</summary>
    public abstract CaptureInterface[] Interfaces { get; }

    /// <summary>Goes on at a record whose offset and interfaces were noted before.</summary>
    public abstract void Seek(long offset, bool bigEndian, CaptureInterface[] interfaces);

    protected void ClearProblem() => Problem = null;

    protected static string Hex(ReadOnlySpan<byte> bytes) => Convert.ToHexString(bytes);

    protected uint U32(ReadOnlySpan<byte> bytes) =>
        BigEndian ? BinaryPrimitives.ReadUInt32BigEndian(bytes) : BinaryPrimitives.ReadUInt32LittleEndian(bytes);

    protected ushort U16(ReadOnlySpan<byte> bytes) =>
        BigEndian ? BinaryPrimitives.ReadUInt16BigEndian(bytes) : BinaryPrimitives.ReadUInt16LittleEndian(bytes);

    protected bool Cut(int needed, int there)
    {
        Problem = string.Create(CultureInfo.InvariantCulture,
            $"{path}: cut short at byte {Window.Offset}: the last record needs {needed} bytes, {there} are there; the records before it are used");
        return false;
    }

    protected bool Damaged(string what)
    {
        Problem = string.Create(CultureInfo.InvariantCulture, $"{path}: damaged at byte {Window.Offset}: {what}; the records before it are used");
        return false;
    }

    protected CaptureException Refuse(string what) => new($"{path}: {what}");
}
