using System.Buffers;
using System.Collections.Concurrent;
using System.Globalization;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;

namespace StageView.Live.Network;

/// <summary>
/// Keeps the recordings folder: what is heard goes into files of its own through <see cref="Recorder"/>. The listening
/// thread only copies, so that a slow disk never holds it up; a thread of its own writes, and hands all to the system
/// twice a second, so that a killed process loses half a second at most.
/// </summary>
internal sealed class NightRecorder(string folder, TimeProvider clock, NightJournal journal, long mostBytes = 4L << 30) : IDatagramTap, IDisposable
{
    private const int MostWaiting = 200_000;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(10);
    private readonly Lock _gate = new();
    private readonly ConcurrentDictionary<string, double> _lengths = new(StringComparer.Ordinal);
    private readonly BlockingCollection<Waiting> _waiting = new(MostWaiting);
    private Thread? _thread;
    private Recorder? _recorder;
    private long _start;
    private long _dropped;
    private TimeSpan? _first;
    private TimeSpan _last;
    private string _name = "";
    private string? _trouble;
    private volatile bool _on;
    private volatile bool _finishing;

    public string Folder => folder;

    /// <summary>As of now. Asks for no lock: a disk that hangs holds the gate, and pages would hear nothing more.</summary>
    public RecorderState State()
    {
        var on = _on;
        var dropped = Interlocked.Read(ref _dropped);
        return new RecorderState(on, on ? _name : null, on ? clock.GetElapsedTime(_start).TotalSeconds : 0, on ? _recorder?.Bytes ?? 0 : 0,
            _trouble ?? (dropped > 0 ? $"{Counted.Of(dropped, "packet was", "packets were")} not recorded: the disk is too slow" : null));
    }

    public Reply Start()
    {
        lock (_gate)
        {
            if (_on)
            {
                return Reply.Refuse($"{_name} is being recorded already");
            }

            if (_finishing)
            {
                return Reply.Refuse($"{_name} is still being written: the disk is too slow");
            }

            try
            {
                Directory.CreateDirectory(folder);
                var now = clock.GetLocalNow();
                _name = FreeName(now.ToString("yyyy-MM-dd HH.mm.ss", CultureInfo.InvariantCulture));
                _recorder = new Recorder(PathOf(_name), now.ToUniversalTime(), mostBytes);
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                return Reply.Refuse($"nothing can be recorded into {folder}: {e.Message}");
            }

            (_trouble, _dropped, _first, _start, _on) = (null, 0, null, clock.GetTimestamp(), true);
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
        lock (_gate)
        {
            if (!_on)
            {
                return Reply.Refuse("nothing is being recorded");
            }

            (_on, _finishing) = (false, true);
        }

        var written = new ManualResetEventSlim();
        if (!_waiting.TryAdd(new Waiting(default, default, default, null, 0, written), Patience))
        {
            (_on, _finishing) = (_recorder is not null, false);
            return Told(Reply.Refuse($"{_name} is not stopped: the disk takes nothing; try again"));
        }

        return Told(written.Wait(Patience) ? Reply.Done($"{_name} is finished")
            : Reply.Refuse($"{_name} is not finished yet: the disk is too slow; what waits is still being written"));
    }

    private Reply Told(Reply answer)
    {
        journal.Say("recorder", answer.Text);
        return answer;
    }

    /// <summary>Times count from the recording's start by our own clock: listening that is begun anew counts from zero again.</summary>
    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        if (!_on)
        {
            return;
        }

        var copy = ArrayPool<byte>.Shared.Rent(payload.Length);
        payload.CopyTo(copy);
        if (!_waiting.TryAdd(new Waiting(clock.GetElapsedTime(_start), from, to, copy, payload.Length, null)))
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
                ? [.. new DirectoryInfo(folder).GetFiles().Where(f => f.Extension is ".pcapng" or ".pcap").OrderByDescending(f => f.LastWriteTimeUtc).Take(200)
                    .Select(f => f.Name)]
                : [];
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return [];
        }
    }

    /// <summary>From the first packet of a recording that was finished here to its last, s; null for other files.</summary>
    public double? LengthOf(string file) => _lengths.TryGetValue(file, out var seconds) ? seconds : null;

    public void Dispose()
    {
        if (_on)
        {
            Stop();
        }

        _waiting.CompleteAdding();

        // One that a slow disk still holds asks whether there is more; its exception would end the process.
        if (_thread?.Join(2000) != false)
        {
            _waiting.Dispose();
        }
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
            if (_waiting.TryTake(out var next, 250))
            {
                WriteOne(next);
            }

            if (clock.GetElapsedTime(flushed) > TimeSpan.FromSeconds(.5))
            {
                flushed = clock.GetTimestamp();
                lock (_gate)
                {
                    _recorder?.OnBatchEnd();
                    EndIfEnded();
                }
            }
        }
    }

    private void WriteOne(in Waiting next)
    {
        lock (_gate)
        {
            if (next.Finish is { } finish)
            {
                Close();
                _finishing = false;
                finish.Set();
                return;
            }

            _first ??= next.At;
            _last = next.At;
            _recorder?.OnDatagram(next.At, next.From, next.To, next.Payload.AsSpan(0, next.Length));
            EndIfEnded();
        }

        if (next.Payload is { } used)
        {
            ArrayPool<byte>.Shared.Return(used);
        }
    }

    /// <summary>The disk refused, or the file is as long as one may be; call within the gate.</summary>
    private void EndIfEnded()
    {
        if (_recorder?.Ended is not { } why)
        {
            return;
        }

        _on = false;
        _trouble = $"recording {_name} ended at {_recorder.Bytes >> 20} MiB: {why}; what it holds is kept, begin another";
        journal.Say("recorder", _trouble);
        Close();
    }

    private void Close()
    {
        if (_recorder is not null && _first is { } first)
        {
            _lengths[PathOf(_name)] = (_last - first).TotalSeconds;
        }

        try
        {
            _recorder?.Dispose();
        }
        catch (IOException e)
        {
            _trouble = $"the end of {_name} could not be written: {e.Message}";
            journal.Say("recorder", _trouble);
        }

        _recorder = null;
    }

    private readonly record struct Waiting(TimeSpan At, SourceAddress From, SourceAddress To, byte[]? Payload, int Length, ManualResetEventSlim? Finish);
}
