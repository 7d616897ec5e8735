using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>
/// Random access to a capture: a place a second (fewer where there are many streams for hours), with the last packet of every stream before it, so that
/// levels at any time are known from about 15 s of packets instead of the whole file. Kept beside the capture as <c>CAPTURE.index</c>; made anew when the
/// capture changed, and kept in memory alone where the folder can't be written.
/// </summary>
public sealed class CaptureIndex
{
    /// <summary>Longer than any time-out of a source (Art-Net's 10 s), so that all live sources have sent again.</summary>
    public static readonly TimeSpan Lead = TimeSpan.FromSeconds(15);

    private const int MostStreams = 65_536;

    // Last packets of streams that all places together hold: some 50 MB.
    private const long MostKept = 2_000_000;
    private static readonly TimeSpan s_step = TimeSpan.FromSeconds(1);

    internal CaptureIndex(string path, IReadOnlyList<InterfaceTable> tables, IReadOnlyList<CaptureMark> marks, long firstTicks, TimeSpan length, long datagrams,
        TimecodeTrack timecode, bool made)
    {
        Path = path;
        Tables = tables;
        Marks = marks;
        FirstTicks = firstTicks;
        Length = length;
        Datagrams = datagrams;
        Timecode = timecode;
        Made = made;
    }

    public string Path { get; }

    /// <summary>Time of the last datagram.</summary>
    public TimeSpan Length { get; }

    public long Datagrams { get; }

    /// <summary>The capture's ArtTimeCode: which label lies where. Its events are not kept.</summary>
    public TimecodeTrack Timecode { get; }

    /// <summary>Whether it was made now, by reading the whole capture, rather than read from beside it.</summary>
    public bool Made { get; }

    internal IReadOnlyList<InterfaceTable> Tables { get; }

    internal IReadOnlyList<CaptureMark> Marks { get; }

    internal long FirstTicks { get; }

    /// <summary>The index of a capture.</summary>
    /// <param name="path">The capture.</param>
    /// <param name="read">
    /// Told up to which time it was read, while it is made, and how to have the index of the part that was read, which is good for any time within it;
    /// times never decrease.
    /// </param>
    /// <param name="stop">Ends the making.</param>
    /// <exception cref="CaptureException">No capture.</exception>
    /// <exception cref="OperationCanceledException">It was stopped.</exception>
    public static CaptureIndex Open(string path, Action<TimeSpan, Func<CaptureIndex>>? read = null, CancellationToken stop = default)
    {
        var beside = path + ".index";
        if (CaptureIndexFile.TryRead(path, beside) is { } kept)
        {
            return kept;
        }

        var made = Make(path, read, stop);
        CaptureIndexFile.TryWrite(made, beside);
        return made;
    }

    /// <summary>The last place at or before a time.</summary>
    internal CaptureMark? Before(TimeSpan time)
    {
        int low = 0, high = Marks.Count;
        while (low < high)
        {
            var middle = (low + high) / 2;
            if (Marks[middle].At <= time)
            {
                low = middle + 1;
            }
            else
            {
                high = middle;
            }
        }

        return low == 0 ? null : Marks[low - 1];
    }

    internal static CaptureIndex Make(string path, Action<TimeSpan, Func<CaptureIndex>>? read, CancellationToken stop, long mostKept = MostKept)
    {
        using var reader = CaptureReader.Open(path);
        var tables = new List<InterfaceTable>();
        var marks = new List<CaptureMark>();
        var streams = new Dictionary<(ulong, ulong, uint), (TimeSpan At, long Offset, int Table)>();
        var timecode = new TimecodeTrack();
        var latest = TimeSpan.Zero;
        var next = TimeSpan.Zero;
        var first = long.MinValue;
        var (step, kept) = (s_step, 0L);
        long datagrams = 0;
        Func<CaptureIndex> soFar = SoFar;
        while (reader.TryRead(out var datagram, out var record))
        {
            var table = Table(tables, new InterfaceTable(reader.Container.BigEndian, reader.Container.Interfaces));
            stop.ThrowIfCancellationRequested();
            if (reader.FirstTicks != first)
            {
                // The first stamp was none: reading can't begin at its record.
                first = reader.FirstTicks;
                marks.Clear();
                streams.Clear();
                kept = 0;
                next = TimeSpan.Zero;
            }

            latest = datagram.At > latest ? datagram.At : latest;
            if (latest >= next && !reader.StampIsWrong)
            {
                marks.Add(new CaptureMark(latest, record.Offset, table, [.. streams.Values]));
                next = latest + step;
                kept += streams.Count;
                if (kept > mostKept)
                {
                    // Of a long capture of many streams every other place is enough: the way from it is twice as long.
                    var odd = false;
                    marks.RemoveAll(_ => (odd = !odd) is false);
                    (step, kept) = (2 * step, kept / 2);
                }
            }

            datagrams++;
            if (ArtTimeCode.TryParse(datagram.Payload.Span, out var label, out _))
            {
                timecode.Add(new TimecodeAt(latest, label));
            }

            if (Key(datagram) is { } key && (streams.Count < MostStreams || streams.ContainsKey(key)))
            {
                streams[key] = (latest, record.Offset, table);
            }

            read?.Invoke(latest, soFar);
        }

        return new CaptureIndex(path, tables, marks, reader.FirstTicks, latest, datagrams, timecode, made: true);

        CaptureIndex SoFar() => new(path, [.. tables], [.. marks], reader.FirstTicks, latest, datagrams, new TimecodeTrack([], 0), made: true);
    }

    private static int Table(List<InterfaceTable> tables, InterfaceTable now)
    {
        if (tables.Count == 0 || !tables[^1].Same(now))
        {
            tables.Add(now);
        }

        return tables.Count - 1;
    }

    private static (ulong, ulong, uint)? Key(CapturedDatagram datagram)
    {
        var payload = datagram.Payload.Span;
        if (E131Parser.Kind(payload) == E131PacketKind.Data && E131Parser.TryParse(payload, out E131DataPacket data, out _))
        {
            return (data.Cid.High, data.Cid.Low, ((uint)data.Universe.Value << 8) | data.StartCode);
        }

        if (ArtNetParser.OpCode(payload) == ArtOpCode.Dmx && ArtNetParser.TryParse(payload, out ArtDmxPacket dmx, out _))
        {
            return (datagram.From.High, datagram.From.Low ^ ((ulong)dmx.Physical << 56), 0x8000_0000u | dmx.PortAddress);
        }

        return null;
    }
}
