using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show;
using StageView.Show.Notes;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Cues;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Live.Shown;

/// <summary>
/// A capture that is looked at: any time of it, forwards and back. Its index is made beside everything else; a time far away is read by it, beside the
/// stage that is shown, and no history is kept. <see cref="Prepare"/> and <see cref="Reach"/> may be called at any time, the rest by one caller at a time.
/// </summary>
internal sealed class CaptureDeck : IDisposable
{
    /// <summary>So far ahead of what was fed the stage itself is played on, s; what is farther is prepared.</summary>
    private const double NearAhead = 2;

    /// <summary>More marks than this no scrubber shows apart.</summary>
    private const int MostChanges = 300;

    /// <summary>Of one core, for the changes of a capture.</summary>
    private const double ShareOfMarks = 0.25;

    private readonly TimeProvider _clock;
    private readonly ShownFile _file;
    private readonly CancellationTokenSource _stop = new();
    private readonly object _indexing = new();
    private CaptureShow _show;
    private double _reached;
    private double _position;
    private double _speed = 1;
    private long _playingSince;
    private bool _playing;
    private double _length;
    private double _wanted = double.PositiveInfinity;
    private volatile CaptureIndex? _whole;

    // Of all, or of the part that was read so far and asked for.
    private volatile CaptureIndex? _index;
    private volatile TimecodeTrack? _track;
    private volatile bool _measured;
    private volatile bool _indexingEnded;
    private readonly Lock _sending = new();
    private CaptureSenders? _senders;
    private bool _disposed;
    private volatile CueLine[] _cues;
    private volatile ChangeLine[] _changes = [];

    /// <param name="rig">The rig to begin with.</param>
    /// <param name="shown">The capture.</param>
    /// <param name="measured">Told the file and its length, s, once it was read through.</param>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public CaptureDeck(RigScene rig, ShownFile shown, TimeProvider clock, Action<string, double> measured)
    {
        _clock = clock;
        _file = shown;
        _show = new CaptureShow(rig, shown.Path, index: null, keepHistory: false);
        _cues = CuesOf(shown.Path);
        Measuring = Task.Run(() => Measure(rig, measured, _stop.Token));
    }

    public string Path => _file.Path;

    /// <summary>The music to it, or null.</summary>
    public CueSound? Sound => _file.Sound;

    /// <summary>The named times of the cue file beside the capture, in order of time.</summary>
    public IReadOnlyList<CueLine> Cues => _cues;

    public StageModel Stage => _show.Stage;

    /// <summary>Ends once the file was read through, or soon after the deck was disposed.</summary>
    public Task Measuring { get; }

    /// <summary>s; grows until the file was read through.</summary>
    public double Length => Volatile.Read(ref _length);

    /// <summary>Its timecode, once it was read through; null before, and where it can't be.</summary>
    public TimecodeTrack? Track => _track;

    /// <summary>Whether it was read through.</summary>
    public bool IsMeasured => _measured;

    /// <summary>Whether it plays, and at how many times its pace.</summary>
    public (bool Playing, double Speed) Pace => (_playing, _speed);

    /// <summary>Whether the stage is so far behind the time that should be shown that reading up to it would hold up whoever looks.</summary>
    public bool IsBehind => Position() - _reached > NearAhead && !_show.IsAtEnd;

    /// <summary>The time shown now; feeds the stage up to it, or stays at what it has when it is far behind.</summary>
    public TimeSpan Now()
    {
        if (!IsBehind)
        {
            _reached = Math.Max(_reached, Position());
            _show.FeedTo(TimeSpan.FromSeconds(_reached));
        }

        return TimeSpan.FromSeconds(_reached);
    }

    /// <summary>s from the capture's start.</summary>
    public double Position()
    {
        if (!_playing)
        {
            return _position;
        }

        var at = _position + (_clock.GetElapsedTime(_playingSince).TotalSeconds * _speed);
        if (_measured && at >= Length)
        {
            _position = Length;
            _playing = false;
            return _position;
        }

        return at;
    }

    /// <summary>Whether all of it was shown.</summary>
    public bool IsAtEnd => _measured && Position() >= Length;

    /// <summary>Plays or pauses.</summary>
    /// <param name="speed">Times the pace it was recorded at.</param>
    public void Play(bool playing, double speed)
    {
        _position = Position();
        _playing = playing;
        _speed = speed;
        _playingSince = _clock.GetTimestamp();
    }

    /// <summary>The named time of a text such as <c>cue:NAME</c>, <c>tc:HH:MM:SS:FF</c> or <c>1:02.5</c>, s. May read the capture through.</summary>
    /// <exception cref="StopException">There is no such time.</exception>
    public double TimeOf(string text) => new CaptureTimes(Path, () => _track ?? CaptureTrack.Of(Path, _whole)).Find(text).TotalSeconds;

    /// <summary>Stays at what the stage has: what follows can't be read.</summary>
    public void Hold()
    {
        Set(_reached);
        _playing = false;
    }

    /// <summary>Whether the stage itself can go to a time: one that it has, or nearly.</summary>
    public bool IsNear(double seconds)
    {
        var to = Within(seconds);
        return to >= _reached && (to <= _reached + NearAhead || _show.IsAtEnd);
    }

    /// <summary>Goes to a time that is near; false for one that must be prepared.</summary>
    public bool TrySeek(double seconds)
    {
        if (!IsNear(seconds))
        {
            return false;
        }

        Set(Within(seconds));
        return true;
    }

    /// <summary>Waits until the index reaches a time, or never will.</summary>
    public void Reach(double seconds)
    {
        lock (_indexing)
        {
            while (!_indexingEnded && !(_index is { } index && index.Length.TotalSeconds >= seconds))
            {
                Volatile.Write(ref _wanted, Math.Min(_wanted, seconds));
                Monitor.Wait(_indexing);
            }
        }
    }

    /// <summary>A show that has levels from a time on.</summary>
    /// <exception cref="CaptureException">The capture can't be read any more.</exception>
    public ReadyShow Prepare(RigScene rig, double seconds)
    {
        Reach(0);
        var show = new CaptureShow(rig, Path, _index, keepHistory: false);
        try
        {
            var to = Within(seconds);
            show.FeedTo(TimeSpan.FromSeconds(to));
            return new ReadyShow(show, to);
        }
        catch
        {
            show.Dispose();
            throw;
        }
    }

    /// <summary>Goes to a time with a show that was prepared for it.</summary>
    public void Seek(double seconds, ReadyShow ready)
    {
        Take(ready);
        Set(Within(seconds));
    }

    /// <summary>Goes on with a show that was prepared for where it stands, or stood just now.</summary>
    public void Take(ReadyShow ready)
    {
        _show.Dispose();
        (_show, _reached) = (ready.Show, ready.At);
    }

    public CaptureState State() => new(_file.Name, Length, Math.Round(Position(), 3), _playing, _speed, _cues)
    {
        Changes = _changes,
        Sound = _file.Sound is { } sound ? new SoundLine(System.IO.Path.GetFileName(sound.File), sound.Start) : null,
    };

    /// <summary>The timecode at the time shown, once the file was read through; null where it has none.</summary>
    public (string Label, string Note)? Timecode() =>
        _track is { Labels: > 0 } track && track.LabelAt(TimeSpan.FromSeconds(Position())) is { } label
            ? (label.ToString(), TimecodeRateText.Of(label.Rate) + ", of the capture")
            : null;

    /// <summary>
    /// Who sends what at addresses at a time, in their order; nobody until the file was read through, and where it can't be read any more. May be asked at any
    /// time: it reads beside the stage.
    /// </summary>
    public IReadOnlyList<IReadOnlyList<AddressSource>> SourcesOf(RigScene rig, TimeSpan at, IReadOnlyList<UniverseAddress> addresses)
    {
        try
        {
            return Senders(rig) is { } senders ? senders.At(at, addresses) : Nobody(addresses);
        }
        catch (Exception e) when (e is CaptureException or IOException or UnauthorizedAccessException)
        {
            return Nobody(addresses);
        }
    }

    private static IReadOnlyList<IReadOnlyList<AddressSource>> Nobody(IReadOnlyList<UniverseAddress> addresses) =>
        [.. addresses.Select(_ => (IReadOnlyList<AddressSource>)[])];

    private CaptureSenders? Senders(RigScene rig)
    {
        lock (_sending)
        {
            if (_disposed || _whole is not { } index)
            {
                return null;
            }

            if (_senders is null || !ReferenceEquals(_senders.Rig, rig))
            {
                _senders?.Dispose();
                _senders = null;
                _senders = new CaptureSenders(rig, Path, index);
            }

            return _senders;
        }
    }

    public void Dispose()
    {
        lock (_sending)
        {
            _disposed = true;
            _senders?.Dispose();
        }

        _stop.Cancel();
        _show.Dispose();

        // It may wait by the token meanwhile.
        Measuring.ContinueWith(_ => _stop.Dispose(), TaskScheduler.Default);
    }

    private static CueLine[] CuesOf(string path)
    {
        try
        {
            return [.. CueTimes.Read(path).OrderBy(c => c.Time).Select(c => new CueLine(c.Name, c.Time.TotalSeconds))];
        }
        catch (Exception e) when (e is StopException or IOException or UnauthorizedAccessException)
        {
            // No names then; who asks for one is told why.
            return [];
        }
    }

    private double Within(double seconds) => _measured ? Math.Min(seconds, Length) : seconds;

    private void Set(double seconds)
    {
        _position = seconds;
        _playingSince = _clock.GetTimestamp();
    }

    /// <summary>Length, index and timecode are known once the file was read through; meanwhile the length grows.</summary>
    private void Measure(RigScene rig, Action<string, double> measured, CancellationToken stop)
    {
        try
        {
            var index = CaptureIndex.Open(Path, Indexed, stop);
            Volatile.Write(ref _length, index.Length.TotalSeconds);
            Has(index, all: true);
            _whole = index;
            _track = CaptureTrack.Of(Path, index);
        }
        catch (OperationCanceledException)
        {
            return;
        }
        catch (Exception e) when (e is CaptureException or IOException or UnauthorizedAccessException)
        {
            // The part before the damage is the length, and there is no timecode; the verb that names one says why.
        }
        finally
        {
            Has(_index, all: true);
        }

        _measured = true;
        measured(Path, Length);
        FindMarks(rig, stop);
    }

    /// <summary>Timecode of the cues, and the changes in the levels; the greatest ones where there are too many.</summary>
    private void FindMarks(RigScene rig, CancellationToken stop)
    {
        string? Label(double seconds) => _track is { Labels: > 0 } track ? track.LabelAt(TimeSpan.FromSeconds(seconds))?.ToString() : null;
        _cues = [.. _cues.Select(c => c with { Timecode = Label(c.Seconds) })];
        try
        {
            _changes = [.. FoundMarks.In(rig, Path, stop, ShareOfMarks).OrderByDescending(c => c.Channels).Take(MostChanges).OrderBy(c => c.Seconds)
                .Select(c => new ChangeLine(Math.Round(c.Seconds, 3), Label(c.Seconds), c.Channels, c.IsFlash))];
        }
        catch (Exception e) when (e is OperationCanceledException or CaptureException or IOException or UnauthorizedAccessException)
        {
            // Another capture is shown, or this one is cut: then there are no marks.
        }
    }

    private void Indexed(TimeSpan upTo, Func<CaptureIndex> soFar)
    {
        Volatile.Write(ref _length, upTo.TotalSeconds);
        if (upTo.TotalSeconds >= Volatile.Read(ref _wanted))
        {
            Has(soFar(), all: false);
        }
    }

    private void Has(CaptureIndex? index, bool all)
    {
        lock (_indexing)
        {
            _index = index;
            _indexingEnded = all;
            Volatile.Write(ref _wanted, double.PositiveInfinity);
            Monitor.PulseAll(_indexing);
        }
    }
}
