using StageView.Live.Measuring;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>
/// Where the pump leaves a viewer's next picture and the viewer takes it. Holds one picture; a viewer who has not shown
/// enough of what was sent is given none, so that nothing queues and the newest state is the next one seen.
/// </summary>
internal sealed class FrameDesk(TimeProvider clock, LinkQuality quality)
{
    /// <summary>How long a measured delay is told without a newer one.</summary>
    private static readonly TimeSpan LatencyLasts = TimeSpan.FromSeconds(5);

    /// <summary>So long nothing may have changed before a fine picture is worth its time.</summary>
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(400);

    /// <summary>A fine picture that takes no longer than this holds up nobody, ms.</summary>
    private const float MostFineMs = 150;

    private readonly Lock _gate = new();
    private readonly Queue<Sent> _underWay = new();
    private readonly LatencyWindow _latency = new();
    private IMoments? _of;
    private Picture _drawn = new();
    private Picture _taken = new();
    private bool _filled;
    private bool _filledResting;
    private bool _taking;
    private bool _takenResting;
    private bool _resting;
    private Viewpoint _view = Viewpoint.Start;
    private Viewpoint? _drawnView;
    private long _askedAt;
    private long _begunAt;
    private long _drawnAt;
    private long _changedAt;
    private ulong _essence;
    private long? _lastArrival;
    private long _measuredAt;
    private string _source = "network";
    private bool _paused;
    private uint _number;
    private double _roundTripMs;
    private int _shown;
    private long _ratesFrom;
    private double _rate;
    private float _drawMs;
    private float _fineMs;
    private readonly PictureAge _age = new(clock);

    /// <summary>Nothing is wanted: the page is hidden.</summary>
    public bool Paused
    {
        get
        {
            lock (_gate)
            {
                return _paused;
            }
        }

        set
        {
            lock (_gate)
            {
                if (_paused != value)
                {
                    _lastArrival = null;
                }

                _paused = value;
            }
        }
    }

    /// <summary>What the show follows now: <c>network</c>, <c>capture</c> or <c>look</c>. Another one begins measuring anew.</summary>
    public void Follows(string source)
    {
        lock (_gate)
        {
            if (_source != source)
            {
                _source = source;
                _lastArrival = null;
                _latency.Clear();
            }
        }
    }

    /// <summary>Whose state is drawn; the house's when null.</summary>
    public IMoments? Of
    {
        get => Volatile.Read(ref _of);
        set => Volatile.Write(ref _of, value);
    }

    /// <summary>Of the newest picture.</summary>
    public ulong Essence
    {
        get
        {
            lock (_gate)
            {
                return _drawn.Essence;
            }
        }
    }

    public Viewpoint View
    {
        get
        {
            lock (_gate)
            {
                return _view;
            }
        }

        set
        {
            lock (_gate)
            {
                _view = value;
            }
        }
    }

    /// <summary>What to draw now, if anything.</summary>
    /// <param name="leastInterval">Between the beginnings of two pictures.</param>
    /// <param name="calm">Whether no other viewer's picture moves, so that a fine one that takes its time may be drawn.</param>
    /// <param name="view">With the size to draw at.</param>
    /// <param name="unless">The fingerprint of what the viewer already has, or 0.</param>
    /// <param name="onlyIf">The essence that a fine picture is worth its time for, or 0.</param>
    /// <param name="resting">Whether the picture is the fine one of a state at rest.</param>
    public bool Wants(TimeSpan leastInterval, bool calm, out Viewpoint view, out ulong unless, out ulong onlyIf, out bool resting)
    {
        lock (_gate)
        {
            view = _view;
            unless = onlyIf = 0;
            resting = false;
            if (!CanTake || UntilDue(leastInterval) > TimeSpan.Zero)
            {
                return false;
            }

            _askedAt = clock.GetTimestamp();

            var same = _view == _drawnView;
            resting = same && _underWay.Count == 0 && IsCalm && (calm || _fineMs < MostFineMs);
            if (same && _resting)
            {
                // The fine picture is there. Haze that drifts over a stage at rest is worth a quarter of the time, no more; anything else is drawn quickly.
                resting &= clock.GetElapsedTime(_drawnAt).TotalMilliseconds >= Math.Max(100, 4 * _drawMs);
                unless = resting ? _drawn.Fingerprint : _drawn.Essence;
            }
            else
            {
                unless = same && !resting ? _drawn.Fingerprint : 0;
            }

            onlyIf = resting ? _drawn.Essence : 0;
            view = Scaled(resting ? 1 : quality.Moving.Scale, quick: !resting);
            return true;
        }
    }

    /// <summary>Whether a picture is wanted quickly: the view was turned, or the state changed just now.</summary>
    public bool IsMoving
    {
        get
        {
            lock (_gate)
            {
                return CanTake && (_view != _drawnView || !IsCalm);
            }
        }
    }

    /// <summary>Whether a picture could be taken.</summary>
    public bool IsReady
    {
        get
        {
            lock (_gate)
            {
                return CanTake;
            }
        }
    }

    /// <summary>Whether the view was turned since its last picture, which is due.</summary>
    public bool IsTurned
    {
        get
        {
            lock (_gate)
            {
                return CanTake && _view != _drawnView;
            }
        }
    }

    private bool CanTake => !_paused && !_filled && _underWay.Count + (_taking ? 1 : 0) < (quality.Rung <= 1 ? 2 : 1);

    private bool IsCalm => clock.GetElapsedTime(_changedAt) > Rest;

    /// <summary>What is left of the interval between two pictures.</summary>
    public TimeSpan UntilDue(TimeSpan leastInterval)
    {
        lock (_gate)
        {
            return _begunAt == 0 ? TimeSpan.Zero : leastInterval - clock.GetElapsedTime(_begunAt);
        }
    }

    /// <summary>The state is no longer the one that a fine picture was wanted of.</summary>
    public void Moved()
    {
        lock (_gate)
        {
            _changedAt = clock.GetTimestamp();
        }
    }

    /// <summary>The state is still that of the newest picture, as it was read when the desk was asked last, or just now.</summary>
    public void StillSo(bool now)
    {
        lock (_gate)
        {
            _age.Is(_drawn.Essence, now ? clock.GetTimestamp() : _askedAt);
        }
    }

    /// <summary>The picture to draw into; only the pump calls this, after <see cref="Wants"/> said yes.</summary>
    public Picture Sheet => _drawn;

    /// <summary>The sheet was drawn.</summary>
    public void Filled(Viewpoint wanted, bool resting)
    {
        lock (_gate)
        {
            // What was looked at and found unchanged does not count: the next change is drawn at once.
            (_begunAt, _drawnAt) = (_askedAt, clock.GetTimestamp());
            var before = _drawnView;
            _drawMs = _drawn.DrawMilliseconds;
            _fineMs = resting ? _drawMs : _fineMs;
            _drawn.StateAt = _askedAt;
            _age.Is(_drawn.Essence, _askedAt);
            // What was wanted is a scaled copy of the view of that time; another view since then is drawn next.
            _drawnView = wanted.Position == _view.Position && wanted.Target == _view.Target && wanted.FieldRadians == _view.FieldRadians
                && wanted.Ev100 == _view.Ev100 && wanted.WorkLight == _view.WorkLight
                && Even(_view.Width * (resting ? 1 : quality.Moving.Scale)) == wanted.Width ? _view : null;
            _filled = true;
            _filledResting = resting;
            _resting = resting;
            if (!resting && (_drawn.Essence != _essence || _drawnView is null || _drawnView != before))
            {
                _changedAt = _drawnAt;
            }

            _essence = _drawn.Essence;

            quality.Drawn(_drawn.DrawMilliseconds, resting);
        }
    }

    /// <summary>The newest picture and how to pack it; given back with <see cref="SentOff"/>.</summary>
    public bool TryTake(out Picture picture, out QualityRung rung, out uint number)
    {
        lock (_gate)
        {
            picture = _taken;
            rung = default;
            number = 0;
            if (!_filled || _taking)
            {
                return false;
            }

            (_drawn, _taken) = (_taken, _drawn);
            _drawn.Fingerprint = _taken.Fingerprint;
            _drawn.Essence = _taken.Essence;
            picture = _taken;
            rung = _filledResting ? quality.Resting : quality.Moving;
            number = ++_number;
            _takenResting = _filledResting;
            _filled = false;
            _taking = true;
            return true;
        }
    }

    /// <summary>A copy of the picture that was sent last; null before the first one.</summary>
    public Picture? CopyLast()
    {
        // It stays as it is until the next one is taken, which waits meanwhile: packing it would hold up all who draw.
        lock (_gate)
        {
            return _number == 0 ? null : _taken.Copy();
        }
    }

    /// <summary>The picture is on its way; called just before sending.</summary>
    public void SentOff(uint number, Picture picture)
    {
        lock (_gate)
        {
            _taking = false;
            // The first picture after connecting, a rest or another source holds whatever came before it, however old.
            var fresh = _lastArrival is { } last && picture.NewestArrival > last;
            _lastArrival = picture.NewestArrival == 0 ? null : picture.NewestArrival;
            _underWay.Enqueue(new Sent(number, clock.GetTimestamp(), fresh ? picture.NewestArrival : 0, _takenResting, picture.Essence, picture.StateAt));
        }
    }

    /// <summary>The page has it on the screen.</summary>
    public void Shown(uint number)
    {
        lock (_gate)
        {
            while (_underWay.TryPeek(out var sent) && sent.Number <= number)
            {
                _underWay.Dequeue();
                if (sent.Number != number)
                {
                    continue;
                }

                var now = clock.GetTimestamp();
                _age.Shown(sent.Essence, sent.StateAt);
                quality.Shown(Math.Max(0, clock.GetElapsedTime(sent.At, now).TotalMilliseconds - _roundTripMs), sent.Resting);
                if (sent.Arrival != 0)
                {
                    _measuredAt = now;
                    _latency.Add(Math.Max(0, clock.GetElapsedTime(sent.Arrival, now).TotalMilliseconds - (_roundTripMs / 2)));
                }

                _shown++;
            }
        }
    }

    /// <summary>A bare message went there and back.</summary>
    public void RoundTrip(double milliseconds)
    {
        lock (_gate)
        {
            // The least of the last few: more than that is our own queueing, which the quality must see.
            _roundTripMs = _roundTripMs == 0 ? milliseconds : Math.Min(milliseconds, (_roundTripMs * .9) + (milliseconds * .1));
        }
    }

    public LinkState Link()
    {
        lock (_gate)
        {
            var now = clock.GetTimestamp();
            if (_ratesFrom == 0)
            {
                _ratesFrom = now;
            }

            var span = clock.GetElapsedTime(_ratesFrom, now).TotalSeconds;
            if (span >= 1)
            {
                _rate = _shown / span;
                _shown = 0;
                _ratesFrom = now;
            }

            if (_latency.Count > 0 && clock.GetElapsedTime(_measuredAt, now) > LatencyLasts)
            {
                _latency.Clear();
            }

            return new LinkState(_latency.Median, _latency.Worst, _roundTripMs, Math.Round(_rate, 1), quality.Rung, _drawMs, _resting,
                _age.Seconds is { } age ? Math.Round(age, 2) : null);
        }
    }

    private Viewpoint Scaled(float scale, bool quick) => _view with { Width = Even(_view.Width * scale), Height = Even(_view.Height * scale), Quick = quick };

    private static int Even(float pixels) => Math.Max(16, (int)pixels & ~1);

    private readonly record struct Sent(uint Number, long At, long Arrival, bool Resting, ulong Essence, long StateAt);
}

/// <param name="LatencyMs">Packet in to picture on the page, median of the last ones, ms; null while nothing fresh comes or the source is not the
/// network.</param>
/// <param name="Rung">Of the quality ladder, 0 the best.</param>
/// <param name="Resting">Whether the picture shown is the fine one of a state at rest.</param>
/// <param name="AgeSeconds">How long ago the picture that the page shows was right, s; null before the first one.</param>
internal sealed record LinkState(
    double? LatencyMs, double? WorstMs, double RoundTripMs, double FramesPerSecond, int Rung, float DrawMs, bool Resting, double? AgeSeconds);
