using StageView.Wire.Datagrams;
using StageView.Wire.Sockets;

namespace StageView.Wire.Capture;

/// <summary>
/// Records what a <see cref="LiveSource"/> hears as pcapng, without root. Every batch is handed to the system as soon as it is
/// complete, so a process that is killed has lost nothing it wrote. Only E1.31 and Art-Net are recorded.
/// </summary>
public sealed class Recorder : IDatagramTap, IDisposable
{
    /// <summary><see cref="Ended"/> at the bound on time.</summary>
    public const string TimeIsOver = "the time asked for is over";

    private readonly PcapngWriter _writer;
    private readonly long _mostBytes;
    private readonly TimeSpan _mostTime;
    private readonly Lock _gate = new();
    private bool _closed;

    /// <param name="path">A new file; one that exists is refused.</param>
    /// <param name="start">The date and time of show time 0.</param>
    /// <param name="mostBytes">The recording ends before the file grows past this.</param>
    /// <param name="mostTime">The recording ends at this show time.</param>
    /// <exception cref="IOException">The file exists or can't be written.</exception>
    public Recorder(string path, DateTimeOffset start, long mostBytes = long.MaxValue, TimeSpan? mostTime = null)
        : this(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read, 1 << 18), start, mostBytes, mostTime)
    {
    }

    internal Recorder(Stream stream, DateTimeOffset start, long mostBytes = long.MaxValue, TimeSpan? mostTime = null)
    {
        _writer = new PcapngWriter(stream, start);
        Flush();
        _mostBytes = mostBytes;
        _mostTime = mostTime ?? TimeSpan.MaxValue;
    }

    /// <summary>Datagrams that the system has taken: of what it refused nothing counts.</summary>
    public long Datagrams { get; private set; }

    /// <summary>Bytes that the system has taken.</summary>
    public long Bytes { get; private set; }

    /// <summary>Whether the disk refused, so that what was heard since is lost.</summary>
    public bool Refused { get; private set; }

    /// <summary>Why it ended by itself: a bound was reached or the disk refused. Null while it records.</summary>
    public string? Ended { get; private set; }

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        lock (_gate)
        {
            if (Ended is not null || _closed || !CaptureContent.IsShow(payload))
            {
                return;
            }

            if (at > _mostTime)
            {
                Ended = TimeIsOver;
                return;
            }

            // Link, IP and UDP headers, block and padding come to less than 100 bytes.
            if (_writer.Length + payload.Length + 100 > _mostBytes)
            {
                Ended = "the size asked for is reached";
                return;
            }

            try
            {
                _writer.Write(at, from, CaptureContent.Destination(to, payload), payload);
            }
            catch (IOException e)
            {
                Refuse(e);
            }
        }
    }

    public void OnBatchEnd()
    {
        lock (_gate)
        {
            if (_closed || Ended is not null)
            {
                return;
            }

            try
            {
                Flush();
            }
            catch (IOException e)
            {
                Refuse(e);
            }
        }
    }

    public void Dispose()
    {
        lock (_gate)
        {
            if (!_closed)
            {
                _closed = true;
                try
                {
                    if (!Refused)
                    {
                        Flush();
                    }

                    _writer.Dispose();
                }
                catch (IOException e)
                {
                    // What still waited finds no room either.
                    Refuse(e);
                }
            }
        }
    }

    private void Flush()
    {
        _writer.Flush();
        (Datagrams, Bytes) = (_writer.Datagrams, _writer.Length);
    }

    private void Refuse(IOException e)
    {
        Refused = true;
        Ended = e.Message;
    }
}
