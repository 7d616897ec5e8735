using System.Globalization;
using StageView.Ground.Words;

namespace StageView.Wire.Capture;

/// <summary>Reads the UDP datagrams of a pcap or pcapng file in order, compressed by gzip or zstd or not; fragments of IP are put together.</summary>
public sealed class CaptureReader : IDisposable
{
    private readonly FileWindow _window;
    private readonly ContainerReader _container;
    private readonly StampClock _clock = new();
    private readonly Fragments _fragments = new();
    private long _lost;

    private CaptureReader(string path, FileWindow window, ContainerReader container)
    {
        Path = path;
        _window = window;
        _container = container;
    }

    public string Path { get; }

    /// <summary>What was wrong with the file, once reading has come that far: cut or damaged, at which byte. Null when nothing was.</summary>
    public string? Problem => _window.Failure is { } failure ? $"{Path}: {failure}; the records before are used" : _container.Problem;

    /// <summary>Records read.</summary>
    public long Records { get; private set; }

    /// <summary>Records that held no whole UDP datagram: other protocols, fragments (the last one of a datagram gives it), frames cut by a
    /// snapshot length.</summary>
    public long Skipped { get; private set; }

    /// <summary>What was wrong with the stamps, once reading has come that far: some ran ahead, or the clock was set back. Null when nothing was.</summary>
    public string? ClockProblem => _clock.Problem is { } problem ? $"{Path}: {problem}" : null;

    /// <summary>Packets of sACN and Art-Net that the capture holds in part only, once reading has come that far. Null when there are none.</summary>
    public string? LossProblem => _lost + _fragments.Lost is > 0 and var lost ? string.Create(CultureInfo.InvariantCulture,
        $"{Path}: of {Counted.Of(lost, "packet")} of sACN or Art-Net it holds a part only (fragments, or cut by its snapshot length): the rest is missing")
        : null;

    /// <summary>Time of the first record; meaningful once one was read.</summary>
    public DateTimeOffset FirstRecordAt =>
        DateTimeOffset.UnixEpoch.AddTicks(Math.Clamp(_clock.FirstTicks, 0, DateTimeOffset.MaxValue.UtcTicks - DateTimeOffset.UnixEpoch.UtcTicks));

    internal ContainerReader Container => _container;

    /// <summary>Whether the last record's stamp was wrong; reading can't begin there.</summary>
    internal bool StampIsWrong { get; private set; }

    internal long FirstTicks => _clock.FirstTicks;

    /// <summary>Goes on at a record that was noted before.</summary>
    /// <param name="firstTicks">Stamp of the capture's first record.</param>
    /// <param name="at">The record's time.</param>
    /// <param name="offset">Where it begins.</param>
    /// <param name="table">What was known of interfaces there.</param>
    internal void SeekTo(long firstTicks, TimeSpan at, long offset, InterfaceTable table)
    {
        _fragments.Clear();
        _container.Seek(offset, table.BigEndian, table.Interfaces);
        _clock.GoOn(firstTicks, at);
    }

    /// <summary>Opens a capture file.</summary>
    /// <exception cref="CaptureException">The file is missing, unreadable, no capture, or cut within its header.</exception>
    public static CaptureReader Open(string path)
    {
        FileStream stream;
        try
        {
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new CaptureException($"{path}: {(e is FileNotFoundException or DirectoryNotFoundException ? "no such capture file" : e.Message)}", e);
        }

        var window = new FileWindow(UnpackedStream.Of(stream));
        try
        {
            return new CaptureReader(path, window, ContainerReader.Open(window, path));
        }
        catch (IOException e) when (e is not CaptureException)
        {
            window.Dispose();
            throw new CaptureException($"{path}: {e.Message}", e);
        }
        catch
        {
            window.Dispose();
            throw;
        }
    }

    /// <summary>All datagrams of a file in order; each payload is valid until the next is asked for.</summary>
    /// <param name="path">The file.</param>
    /// <param name="problem">Is told at the end when the file was cut or damaged, and when stamps were wrong.</param>
    public static IEnumerable<CapturedDatagram> Read(string path, Action<string>? problem = null)
    {
        using var reader = Open(path);
        while (reader.TryRead(out var datagram))
        {
            yield return datagram;
        }

        foreach (var what in new[] { reader.Problem, reader.ClockProblem, reader.LossProblem }.OfType<string>())
        {
            problem?.Invoke(what);
        }
    }

    /// <summary>The next UDP datagram; false at the end of what can be read.</summary>
    public bool TryRead(out CapturedDatagram datagram) => TryRead(out datagram, out _);

    public void Dispose() => _window.Dispose();

    /// <param name="datagram">The datagram.</param>
    /// <param name="record">The record it was in; of one in fragments the last, with the place of the first.</param>
    internal bool TryRead(out CapturedDatagram datagram, out RawRecord record)
    {
        while (_container.TryRead(out record))
        {
            StampIsWrong = _clock.IsOdd(record) && ComesBack(ref record);
            var at = _clock.At(record, StampIsWrong);
            Records++;
            if (LinkLayer.TryUdp(record.LinkType, record.Data, out var from, out var to, out var payload))
            {
                datagram = new CapturedDatagram(at, from, to, payload);
                return true;
            }

            if (!LinkLayer.IsKnown(record.LinkType))
            {
                throw new CaptureException(string.Create(CultureInfo.InvariantCulture,
                    $"{Path}: the record at byte {record.Offset} has link type {record.LinkType}, which isn't understood. Capture on Ethernet, loopback, "
                    + $"'any', or as raw IP."));
            }

            if (LinkLayer.TryFragment(record.LinkType, record.Data, out var fragment))
            {
                if (_fragments.TryJoin(fragment, at, record.Offset, out datagram, out var first))
                {
                    record = record with { Offset = first };
                    return true;
                }

                Skipped++;
                continue;
            }

            Skipped++;
            _lost += LinkLayer.IsPartOfLevels(record.LinkType, record.Data.Span) ? 1 : 0;
        }

        datagram = default;
        return false;
    }

    // Looks ahead whether an odd stamp is followed by one that isn't, and comes back to the record.
    private bool ComesBack(ref RawRecord record)
    {
        _window.Pin(record.Offset);
        var (bigEndian, interfaces) = (_container.BigEndian, _container.Interfaces);
        var back = false;
        for (var i = 0; i < StampClock.MostAhead && !back && _container.TryRead(out var later); i++)
        {
            back = _clock.IsExpected(later.Ticks);
        }

        var offset = record.Offset;
        _container.Seek(offset, bigEndian, interfaces);
        _container.TryRead(out record);
        _window.Unpin();
        return back;
    }
}
