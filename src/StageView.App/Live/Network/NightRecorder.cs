using System.Buffers;
using System.Collections.Concurrent;
using System.Globalization;
using StageView.Wire;
using StageView.Wire.Capture;
using StageView.Wire.Sockets;

namespace StageView.App.Live;

/// <summary>
/// Writes what is heard into capture files of the recordings folder. The listening thread only copies; a thread of its
/// own writes, and hands all to the system twice a second, so that a killed process loses half a second at most.
/// </summary>
internal sealed class NightRecorder(string folder, TimeProvider clock, NightJournal journal, long mostBytes = 4L << 30) : IDatagramTap, IDisposable
{
    private const int MostWaiting = 200_000;
    private readonly Lock _gate = new();
    private readonly BlockingCollection<Waiting> _waiting = new(MostWaiting);
    private Thread? _thread;
    private PcapngWriter? _writer;
    private TimeSpan _startedAt = TimeSpan.MinValue;
    private long _startedStamp;
    private long _dropped;
    private string? _name;
    private string? _trouble;
    private volatile bool _on;

    public string Folder => folder;

    public RecorderState State()
    {
        lock (_gate)
        {
            return new RecorderState(_on, _on ? _name : null, _on ? clock.GetElapsedTime(_startedStamp).TotalSeconds : 0, _on ? _writer?.Length ?? 0 : 0,
                _trouble ?? (_dropped > 0 ? $"{_dropped} packets were not recorded: the disk is too slow" : null));
        }
    }

    public Reply Start()
    {
        lock (_gate)
        {
            if (_on)
            {
                return Reply.Refuse($"{_name} is being recorded already");
            }

            try
            {
                Directory.CreateDirectory(folder);
                var start = clock.GetLocalNow();
                _name = FreeName(start.ToString("yyyy-MM-dd HH.mm.ss", CultureInfo.InvariantCulture));
                _writer = new PcapngWriter(new FileStream(PathOf(_name), FileMode.CreateNew, FileAccess.Write, FileShare.Read, 1 << 16), start.ToUniversalTime(), ethernet: false);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return Reply.Refuse($"nothing can be recorded into {folder}: {e.Message}");
            }

            _trouble = null;
            _dropped = 0;
            _startedAt = TimeSpan.MinValue;
            _startedStamp = clock.GetTimestamp();
            _on = true;
            if (_thread is null)
            {
                _thread = new Thread(Write) { IsBackground = true, Name = "recorder" };
                _thread.Start();
            }

            journal.Say("recorder", $"recording {_name}");
            return Reply.Done($"recording {_name}");
        }
    }

    public Reply Stop()
    {
        if (!_on)
        {
            return Reply.Refuse("nothing is being recorded");
        }

        _on = false;
        using var written = new ManualResetEventSlim();
        _waiting.Add(new Waiting(default, default, default, null, 0, written));
        written.Wait(TimeSpan.FromSeconds(10));
        journal.Say("recorder", $"{_name} is finished");
        return Reply.Done($"{_name} is finished");
    }

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        if (!_on)
        {
            return;
        }

        var copy = ArrayPool<byte>.Shared.Rent(payload.Length);
        payload.CopyTo(copy);
        if (!_waiting.TryAdd(new Waiting(at, from, to, copy, payload.Length, null)))
        {
            ArrayPool<byte>.Shared.Return(copy);
            Interlocked.Increment(ref _dropped);
        }
    }

    /// <summary>The recordings and other captures of the folder, newest first.</summary>
    public IReadOnlyList<string> Captures()
    {
        try
        {
            return Directory.Exists(folder)
                ? [.. new DirectoryInfo(folder).GetFiles().Where(f => f.Extension is ".pcapng" or ".pcap").OrderByDescending(f => f.LastWriteTimeUtc).Take(200).Select(f => f.Name)]
                : [];
        }
        catch (IOException)
        {
            return [];
        }
    }

    public void Dispose()
    {
        if (_on)
        {
            Stop();
        }

        _waiting.CompleteAdding();
        _thread?.Join(2000);
        _waiting.Dispose();
    }

    private string PathOf(string name) => Path.Combine(folder, name);

    private string FreeName(string stem)
    {
        for (var i = 1; ; i++)
        {
            var name = i == 1 ? $"{stem}.pcapng" : string.Create(CultureInfo.InvariantCulture, $"{stem} {i}.pcapng");
            if (!File.Exists(PathOf(name)))
            {
                return name;
            }
        }
    }

    private void Write()
    {
        var flushed = clock.GetTimestamp();
        while (!_waiting.IsCompleted)
        {
            try
            {
                if (_waiting.TryTake(out var next, 250))
                {
                    WriteOne(next);
                }

                if (clock.GetElapsedTime(flushed) > TimeSpan.FromSeconds(.5))
                {
                    flushed = clock.GetTimestamp();
                    lock (_gate)
                    {
                        _writer?.Flush();
                    }
                }
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                Trouble($"recording stopped: {e.Message}");
            }
        }
    }

    private void WriteOne(Waiting next)
    {
        lock (_gate)
        {
            if (next.Finish is { } finish)
            {
                _writer?.Dispose();
                _writer = null;
                finish.Set();
                return;
            }

            if (_writer is { } writer)
            {
                // Times count from the first packet of the recording.
                _startedAt = _startedAt == TimeSpan.MinValue ? next.At : _startedAt;
                var payload = next.Payload.AsSpan(0, next.Length);
                writer.Write(next.At - _startedAt, next.From, next.To, payload);
                if (writer.Length > mostBytes)
                {
                    Trouble(string.Create(CultureInfo.InvariantCulture, $"recording stopped at {mostBytes >> 20} MiB, the most for one file; begin another"));
                }
            }
        }

        if (next.Payload is { } used)
        {
            ArrayPool<byte>.Shared.Return(used);
        }
    }

    private void Trouble(string what)
    {
        lock (_gate)
        {
            _trouble = what;
            _on = false;
            try
            {
                _writer?.Dispose();
            }
            catch (IOException)
            {
                // The disk is full or gone; what it took is kept.
            }

            _writer = null;
        }

        journal.Say("recorder", what);
    }

    private readonly record struct Waiting(TimeSpan At, SourceAddress From, SourceAddress To, byte[]? Payload, int Length, ManualResetEventSlim? Finish);
}
