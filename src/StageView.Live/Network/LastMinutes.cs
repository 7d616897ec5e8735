using System.Buffers;
using System.Collections.Concurrent;
using StageView.Ground.Words;
using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;

namespace StageView.Live.Network;

/// <summary>
/// The last minutes of everything heard, without anybody having pressed Record: pieces of half a minute or so in a folder of the system's own, the oldest
/// thrown away as they grow too old or too many. The listening thread only copies; what waits to be written is bounded, too.
/// </summary>
/// <param name="folder">Where pieces are written and frozen minutes stay.</param>
/// <param name="kept">How far back.</param>
/// <param name="mostBytes">Of all files: half for the pieces, of which older ones go first, half for frozen minutes, of which the newest always stay.</param>
internal sealed class LastMinutes(string folder, TimeSpan kept, long mostBytes, TimeProvider clock, NightJournal journal) : IDatagramTap, IDisposable
{
    private const int MostWaiting = 50_000, Pieces = 20;

    /// <summary>What a packet takes in a file beside its payload, at the most, bytes.</summary>
    private const int Around = 100;
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);
    private readonly long _start = clock.GetTimestamp();
    private readonly DateTimeOffset _startedAt = clock.GetUtcNow();
    private readonly BlockingCollection<Waiting> _waiting = new(MostWaiting);
    private readonly Lock _gate = new();
    private readonly List<Piece> _pieces = [];
    private readonly List<FrozenMinutes> _frozen = [];
    private Thread? _thread;
    private Recorder? _recorder;
    private Piece? _piece;
    private int _number;
    private long _dropped;
    private volatile string? _trouble;

    /// <summary>As of now; null when nothing is kept.</summary>
    public LastState? State()
    {
        if (kept <= TimeSpan.Zero)
        {
            return null;
        }

        lock (_gate)
        {
            var first = (_pieces.Count > 0 ? _pieces[0] : _piece)?.First ?? clock.GetElapsedTime(_start);
            var dropped = Interlocked.Read(ref _dropped);
            return new LastState(Math.Round(Math.Min(kept.TotalSeconds, (clock.GetElapsedTime(_start) - first).TotalSeconds)), Bytes(),
                _trouble ?? (dropped > 0 ? $"{Counted.Of(dropped, "packet was", "packets were")} not kept: the disk is too slow" : null));
        }
    }

    /// <summary>Minutes that were frozen, by name; the newest few.</summary>
    public IReadOnlyList<FrozenMinutes> Frozen
    {
        get
        {
            lock (_gate)
            {
                return [.. _frozen];
            }
        }
    }

    /// <inheritdoc/>
    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        if (kept <= TimeSpan.Zero || _trouble is not null)
        {
            return;
        }

        if (_thread is null)
        {
            _thread = new Thread(Write) { IsBackground = true, Name = "last minutes" };
            _thread.Start();
        }

        var copy = ArrayPool<byte>.Shared.Rent(payload.Length);
        payload.CopyTo(copy);
        if (!_waiting.TryAdd(new Waiting(clock.GetElapsedTime(_start), from, to, copy, payload.Length, null)))
        {
            ArrayPool<byte>.Shared.Return(copy);
            Interlocked.Increment(ref _dropped);
        }
    }

    /// <summary>Takes what was heard until now as a capture of its own; what comes is kept as before.</summary>
    /// <param name="why">Why there is none.</param>
    public FrozenMinutes? Freeze(out string why)
    {
        why = _trouble ?? "nothing was heard in the last minutes";
        if (_thread is null)
        {
            return null;
        }

        using var written = new ManualResetEventSlim();
        if (!_waiting.TryAdd(new Waiting(default, default, default, null, 0, written), Patience) || !written.Wait(Patience))
        {
            why = "the last minutes can't be taken: the disk is too slow; try again";
            return null;
        }

        lock (_gate)
        {
            if (_pieces.Count == 0)
            {
                why = _trouble ?? why;
                return null;
            }

            // Pieces are sections of one pcapng file (draft-ietf-opsawg-pcapng, "General File Structure"): they may stand one after another.
            var name = $"last minutes {clock.GetLocalNow():HH.mm.ss}";
            var length = _pieces[^1].Last - _pieces[0].First;
            var frozen = new FrozenMinutes(Free(name), At($"frozen-{++_number}.pcapng"), length.TotalSeconds, _pieces.Sum(p => p.Bytes));
            try
            {
                using var whole = File.Create(frozen.File);
                foreach (var piece in _pieces)
                {
                    using var part = File.OpenRead(piece.File);
                    part.CopyTo(whole);
                }
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                why = $"the last minutes can't be taken: {e.Message}";
                return null;
            }

            _frozen.Insert(0, frozen);
            while (_frozen.Count > 1 && _frozen.Sum(f => f.Bytes) > mostBytes / 2)
            {
                Delete(_frozen[^1].File);
                _frozen.RemoveAt(_frozen.Count - 1);
            }

            return frozen;
        }
    }

    /// <summary>Copies frozen minutes into a folder under their date and time.</summary>
    public Reply Save(string name, string into)
    {
        if (Frozen.FirstOrDefault(f => f.Name == name) is not { } frozen)
        {
            return Reply.Refuse($"{OneLine.Of(name)} is not among the last minutes that are kept");
        }

        try
        {
            Directory.CreateDirectory(into);
            var saved = $"{clock.GetLocalNow():yyyy-MM-dd} {name}.pcapng";
            File.Copy(frozen.File, Path.Combine(into, saved), overwrite: false);
            journal.Say("recorder", $"saved {saved}");
            return Reply.Done($"saved as {saved}, among the recordings");
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return Reply.Refuse($"{name} can't be saved into {into}: {e.Message}");
        }
    }

    public void Dispose()
    {
        _waiting.CompleteAdding();
        if (_thread?.Join(2000) != false)
        {
            _waiting.Dispose();
        }

        lock (_gate)
        {
            _recorder?.Dispose();
            _recorder = null;
        }
    }

    private string At(string name) => Path.Combine(folder, name);

    private long Bytes() => _pieces.Sum(p => p.Bytes) + (_piece?.Bytes ?? 0);

    private string Free(string name)
    {
        var free = name;
        for (var i = 2; _frozen.Exists(f => f.Name == free); i++)
        {
            free = $"{name} {i}";
        }

        return free;
    }

    private void Write()
    {
        foreach (var next in _waiting.GetConsumingEnumerable())
        {
            lock (_gate)
            {
                if (next.Written is { } written)
                {
                    EndPiece();
                    written.Set();
                    continue;
                }

                Keep(next);
            }

            ArrayPool<byte>.Shared.Return(next.Payload!);
        }
    }

    private void Keep(in Waiting next)
    {
        if (_trouble is not null)
        {
            return;
        }

        try
        {
            if (_piece is { } full && (next.At - full.First > kept / Pieces || full.Bytes > mostBytes / 2 / Pieces))
            {
                EndPiece();
            }

            if (_piece is null)
            {
                _piece = new Piece(At($"piece-{++_number}.pcapng"), next.At);
                _recorder = new Recorder(_piece.File, _startedAt);
            }

            _recorder!.OnDatagram(next.At, next.From, next.To, next.Payload.AsSpan(0, next.Length));
            _piece.Last = next.At;
            _piece.Bytes += next.Length + Around;
            if (_recorder.Ended is { } why)
            {
                throw new IOException(why);
            }

            Trim(next.At);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            End(e.Message);
        }
    }

    private void End(string why)
    {
        _trouble = $"the last minutes are kept no more: {why}";
        journal.Say("recorder", _trouble);
    }

    private void EndPiece()
    {
        if (_piece is { } piece && _recorder is { } recorder)
        {
            recorder.Dispose();
            _pieces.Add(piece);
            if (recorder.Ended is { } why)
            {
                End(why);
            }
        }

        (_piece, _recorder) = (null, null);
    }

    private void Trim(TimeSpan now)
    {
        while (_pieces.Count > 0 && (now - _pieces[0].Last > kept || Bytes() > mostBytes / 2))
        {
            Delete(_pieces[0].File);
            _pieces.RemoveAt(0);
        }
    }

    private static void Delete(string file)
    {
        try
        {
            File.Delete(file);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // The folder is deleted as a whole in the end.
        }
    }

    private readonly record struct Waiting(TimeSpan At, SourceAddress From, SourceAddress To, byte[]? Payload, int Length, ManualResetEventSlim? Written);

    private sealed class Piece(string file, TimeSpan first)
    {
        public string File => file;

        public TimeSpan First { get; } = first;

        public TimeSpan Last { get; set; } = first;

        public long Bytes { get; set; }
    }
}
