using StageView.Live.Night;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <param name="Renderer">What draws, or why nothing does.</param>
/// <param name="Drawing">Whether something draws.</param>
internal sealed record PumpState(bool Drawing, string Renderer, int Restarts);

/// <summary>
/// The one thread that draws. Gives each viewer that can take a picture the newest state in turn; when the renderer
/// fails it is thrown away and made anew, while everything else goes on.
/// </summary>
internal sealed class FramePump : IDisposable
{
    private static readonly TimeSpan Lived = TimeSpan.FromMinutes(1);
    private static readonly TimeSpan[] Pauses = [TimeSpan.FromSeconds(.5), TimeSpan.FromSeconds(2), TimeSpan.FromSeconds(5), TimeSpan.FromSeconds(15)];
    private readonly Func<ILivePictures> _make;
    private readonly NightJournal _journal;
    private readonly TimeProvider _clock;
    private readonly TimeSpan _leastInterval;
    private readonly AutoResetEvent _wake = new(false);
    private readonly ManualResetEventSlim _stop = new();
    private readonly Lock _gate = new();
    private readonly Thread _thread;
    private FrameDesk[] _desks = [];
    private volatile PumpState _state = new(false, "starting", 0);

    public FramePump(Func<ILivePictures> make, NightJournal journal, TimeProvider clock, double mostFramesPerSecond)
    {
        _make = make;
        _journal = journal;
        _clock = clock;
        _leastInterval = TimeSpan.FromSeconds(1 / mostFramesPerSecond);
        _thread = new Thread(Run) { IsBackground = true, Name = "pictures" };
    }

    public PumpState State => _state;

    public void Start() => _thread.Start();

    /// <summary>Something a picture depends on changed.</summary>
    public void Wake() => _wake.Set();

    public void Add(FrameDesk desk)
    {
        lock (_gate)
        {
            _desks = [.. _desks, desk];
        }

        Wake();
    }

    public void Remove(FrameDesk desk)
    {
        lock (_gate)
        {
            _desks = [.. _desks.Where(d => d != desk)];
        }
    }

    public void Dispose()
    {
        _stop.Set();
        Wake();
        if (_thread.IsAlive)
        {
            _thread.Join(TimeSpan.FromSeconds(5));
        }
    }

    /// <summary>Raised on the pump's thread when a desk was filled.</summary>
    public event Action<FrameDesk>? Ready;

    private void Run()
    {
        var failures = 0;
        var restarts = 0;
        while (!_stop.IsSet)
        {
            long? began = null;
            try
            {
                using var pictures = _make();
                _state = new PumpState(true, pictures.Renderer, restarts);
                if (restarts > 0)
                {
                    _journal.Say("picture", $"drawing again, with {pictures.Renderer}");
                }

                began = _clock.GetTimestamp();
                while (!_stop.IsSet)
                {
                    DrawOnce(pictures);
                }
            }
            catch (Exception e)
            {
                restarts++;
                failures = began is { } b && _clock.GetElapsedTime(b) >= Lived ? 0 : failures;
                var pause = Pauses[Math.Min(failures++, Pauses.Length - 1)];
                _state = new PumpState(false, "no picture: " + e.Message, restarts);
                _journal.Say("picture", $"the renderer failed ({e.Message}); listening and recording go on, another try in {pause.TotalSeconds:0.#} s");
                _stop.Wait(pause);
            }
        }
    }

    private void DrawOnce(ILivePictures pictures)
    {
        var drawn = 0;
        var desks = Volatile.Read(ref _desks);
        foreach (var desk in desks)
        {
            if (!desk.Wants(_leastInterval, desks.All(d => d == desk || !d.IsMoving), out var view, out var unless, out var onlyIf, out var resting))
            {
                continue;
            }

            var from = _clock.GetTimestamp();
            var came = pictures.Draw(view, unless, onlyIf, desk.Sheet, resting ? new Watch(desk, desks) : null, desk.Of);
            if (came == DrawOutcome.Unchanged)
            {
                desk.StillSo(now: false);
            }
            else if (came == DrawOutcome.Moved)
            {
                desk.Moved();
                drawn++;
            }
            else if (came == DrawOutcome.Drawn)
            {
                desk.Sheet.DrawMilliseconds = (float)_clock.GetElapsedTime(from).TotalMilliseconds;
                desk.Filled(view, resting);
                drawn++;
                Ready?.Invoke(desk);
            }
        }

        if (drawn == 0)
        {
            pictures.Check();
            // Moves, strobes and drifting haze change without a packet; a 60th of a second is soon enough to look again, or when the next picture is due.
            var due = desks.Select(d => d.UntilDue(_leastInterval).TotalMilliseconds).Where(ms => ms > 0).DefaultIfEmpty(16).Min();
            _wake.WaitOne(desks.Length == 0 ? 500 : (int)Math.Clamp(Math.Ceiling(due), 1, 16));
        }
    }

    /// <summary>A fine picture gives way to a view that is turned, its own or another viewer's, and to what changes for one who sees something else.</summary>
    private sealed class Watch(FrameDesk desk, FrameDesk[] all) : IDrawWatch
    {
        private byte[] _moment = [];

        public bool IsWanted => !desk.Paused && !all.Any(d => d.IsTurned || (d.Of != desk.Of && d.IsReady && HasMoved(d)));

        private bool HasMoved(FrameDesk other)
        {
            if (other.Of is not { } moments)
            {
                return false;
            }

            moments.Newest(ref _moment, out var head);
            return head.Essence != other.Essence;
        }

        public void StillSo() => desk.StillSo(now: true);
    }
}
