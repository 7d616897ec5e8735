using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Wire.Capture;

namespace StageView.Live.Shown;

/// <summary>What is on stage at one instant; valid within the call that hands it out.</summary>
/// <param name="Model">The stage; its rig is the one shown.</param>
/// <param name="At">Show time.</param>
/// <param name="IsNetwork">Whether its levels are those that the network sends now.</param>
/// <param name="Version">Of the rig, from 1.</param>
/// <param name="AsIf">Levels that are looked at instead of those that come in.</param>
internal readonly record struct OnStage(StageModel Model, TimeSpan At, bool IsNetwork, int Version, IReadOnlyList<AsIfLevel> AsIf);

/// <summary>What is told of the source shown.</summary>
/// <param name="Source"><c>network</c>, <c>capture</c> or <c>look</c>.</param>
/// <param name="Timecode">Label and note, as far as the source has its own; null for the network's.</param>
internal sealed record ShownSource(string Source, string Name, double Seconds, (string Label, string Note)? Timecode, CaptureState? Capture);

/// <summary>Which levels are shown, on the rig as it is now: the network's, a capture's or a look's. One is shown at a time.</summary>
/// <param name="rig">The rig to begin with.</param>
/// <param name="version">Its version.</param>
/// <param name="desk">Where the network's levels come in.</param>
/// <param name="measured">Told a capture's file and length, s, once it was read through.</param>
/// <param name="content">What all desks of content share.</param>
internal sealed partial class ShownStage(
    RigScene rig, int version, LevelsDesk desk, TimeProvider clock, Action<string, double> measured, ContentParts content) : IDisposable
{
    /// <summary>How long the end of a show waits for an index that is being written.</summary>
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(3);

    private readonly long _start = clock.GetTimestamp();

    // Guards the stages: a moment made from one is valid until two further ones were made, so all are made in here.
    private readonly Lock _gate = new();
    private readonly Lock _seeking = new();
    private readonly AsIf _asIf = new();
    private readonly ContentDesk _content = Laid(content, rig);
    private NetworkShow _network = new(rig, desk);
    private LookTrial? _look;
    private CaptureDeck? _capture;
    private volatile RigScene _rig = rig;
    private volatile int _version = version;

    /// <summary>The rig shown.</summary>
    public RigScene Rig => _rig;

    /// <summary>Grows by 1 with every rig.</summary>
    public int Version => _version;

    /// <summary>The look that is tried, or null.</summary>
    public LookTrial? Look
    {
        get
        {
            lock (_gate)
            {
                return _look;
            }
        }
    }

    /// <summary>The capture that is open, or null.</summary>
    public CaptureDeck? Capture
    {
        get
        {
            lock (_gate)
            {
                return _capture;
            }
        }
    }

    /// <summary>Looks at the stage; whatever its moments hold must not outlive the call.</summary>
    public T Read<T>(Func<OnStage, T> read)
    {
        lock (_gate)
        {
            return read(Now());
        }
    }

    /// <summary>The same as <see cref="Read{T}"/> for a call that fills a buffer.</summary>
    public TResult Read<TState, TResult>(ref TState state, ReadInto<TState, TResult> read)
    {
        lock (_gate)
        {
            return read(Now(), ref state);
        }
    }

    /// <summary>What is looked at as if it were so, or null.</summary>
    public AsIfState? AsIf
    {
        get
        {
            lock (_gate)
            {
                return _asIf.State;
            }
        }
    }

    /// <summary>The levels that are looked at instead of those that come in.</summary>
    public IReadOnlyList<AsIfLevel> AsIfLevels
    {
        get
        {
            lock (_gate)
            {
                return _asIf.Levels;
            }
        }
    }

    /// <summary>Which content shows what now.</summary>
    public IReadOnlyList<ContentLine> Content()
    {
        lock (_gate)
        {
            var now = Now();
            return _content.Lines(now.Model.Rig, now.At);
        }
    }

    /// <summary>What is wrong with each content, or null.</summary>
    public IReadOnlyList<(string Name, string? Trouble)> ContentTroubles()
    {
        lock (_gate)
        {
            return _content.Troubles();
        }
    }

    /// <summary>Looks at levels instead of those that come in, until something else is shown. Nothing is sent.</summary>
    /// <returns>Why not, or null.</returns>
    public string? LookAsIf(IReadOnlyList<AsIfLevel> levels)
    {
        lock (_gate)
        {
            var whyNot = levels.Select(l => Shown.AsIf.WhyNot(_rig, l)).FirstOrDefault(w => w is not null);
            if (whyNot is null && levels.Count + _asIf.Levels.Count <= Shown.AsIf.MostLevels)
            {
                _asIf.Set(levels);
                return null;
            }

            return whyNot ?? $"at most {Shown.AsIf.MostLevels} levels are looked at as if";
        }
    }

    /// <summary>Everything follows the levels that come in again.</summary>
    public void EndAsIf()
    {
        lock (_gate)
        {
            _asIf.End(_capture?.Stage ?? _look?.Show.Stage ?? _network.Stage, _capture?.Now() ?? clock.GetElapsedTime(_start));
        }
    }

    public delegate TResult ReadInto<TState, TResult>(OnStage now, ref TState state);

    public ShownSource Source()
    {
        lock (_gate)
        {
            if (_capture is { } deck)
            {
                var state = deck.State();
                return new ShownSource("capture", state.Name, state.Position, deck.Timecode(), state);
            }

            var now = clock.GetElapsedTime(_start).TotalSeconds;
            return _look is { } look ? new ShownSource("look", look.Name, now, null, null)
                : new ShownSource("network", "what the network sends", now, null, null);
        }
    }

    /// <summary>What stands in for the network, in words; null while the network is shown as it is.</summary>
    public string? StandsIn()
    {
        lock (_gate)
        {
            var source = _capture is { } deck ? "capture " + Path.GetFileName(deck.Path) : _look is { } look ? "look " + look.Name : null;
            return _asIf.State is null ? source : "as if, over " + (source ?? "the network");
        }
    }

    /// <summary>Shows the network.</summary>
    public void ShowNetwork()
    {
        lock (_gate)
        {
            Leave();
        }
    }

    /// <summary>Shows a look; false when the rig is no longer the one that it was read for.</summary>
    public bool Show(LookTrial look)
    {
        lock (_gate)
        {
            if (!ReferenceEquals(look.Show.Stage.Rig, _rig))
            {
                return false;
            }

            Leave();
            _look = look;
            return true;
        }
    }

    /// <summary>Shows a look as it was saved anew, unless another look or rig is shown by now.</summary>
    public bool Replace(LookTrial look, LookTrial by)
    {
        lock (_gate)
        {
            if (!ReferenceEquals(_look, look) || !ReferenceEquals(by.Show.Stage.Rig, _rig))
            {
                return false;
            }

            _look = by;
            return true;
        }
    }

    /// <summary>Shows a capture, paused at its start.</summary>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public void Show(ShownFile capture)
    {
        while (true)
        {
            var rig = _rig;
            var deck = new CaptureDeck(rig, capture, clock, measured);
            lock (_gate)
            {
                if (ReferenceEquals(rig, _rig))
                {
                    Leave();
                    _capture = deck;
                    return;
                }
            }

            deck.Dispose();
        }
    }

    /// <summary>Shows another capture in the place of one, at the same time and pace; false when that one is no longer shown.</summary>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public bool Replace(CaptureDeck deck, ShownFile by)
    {
        lock (_seeking)
        {
            while (true)
            {
                var rig = _rig;
                var next = new CaptureDeck(rig, by, clock, measured);
                var ready = next.Prepare(rig, deck.Position());
                lock (_gate)
                {
                    var shown = ReferenceEquals(deck, _capture);
                    if (shown && ReferenceEquals(rig, _rig))
                    {
                        var (at, (playing, speed)) = (deck.Position(), deck.Pace);
                        next.Seek(at, ready);
                        next.Play(playing, speed);
                        deck.Dispose();
                        _capture = next;
                        return true;
                    }

                    ready.Show.Dispose();
                    next.Dispose();
                    if (!shown)
                    {
                        return false;
                    }
                }
            }
        }
    }

    /// <summary>Plays or pauses the capture, from its start where it stands at its end; false when none is open.</summary>
    /// <param name="playing">Whether it plays.</param>
    /// <param name="speed">Times the pace it was recorded at.</param>
    /// <exception cref="CaptureException">The capture can't be read any more.</exception>
    public bool Play(bool playing, double speed)
    {
        bool again;
        lock (_gate)
        {
            again = playing && _capture is { IsAtEnd: true };
        }

        if (again)
        {
            Seek(0);
        }

        lock (_gate)
        {
            _capture?.Play(playing, speed);
            return _capture is not null;
        }
    }

    /// <summary>Shows what is shown on another rig.</summary>
    /// <returns>Why a look or a capture is no longer shown and the network is; empty otherwise.</returns>
    public string Follow(RigScene rig)
    {
        lock (_seeking)
        {
            var over = _content.Make(rig);
            while (true)
            {
                var (deck, look) = (Capture, Look);
                var network = new NetworkShow(rig, desk);
                var (show, trial, gone) = On(rig, deck, look);
                Action? close = null;
                lock (_gate)
                {
                    if (ReferenceEquals(deck, _capture) && ReferenceEquals(look, _look))
                    {
                        if (gone.Length > 0)
                        {
                            Leave();
                        }
                        else
                        {
                            _look = trial;
                            _capture?.Take(show!);
                        }

                        _network.Dispose();
                        (_rig, _network) = (rig, network);
                        _version++;
                        close = _content.Show(over);
                    }
                }

                if (close is not null)
                {
                    close();
                    return gone;
                }

                network.Dispose();
                show?.Show.Dispose();
            }
        }
    }

    public void Dispose()
    {
        // Whoever still draws it sees the network for that time.
        var capture = Capture;
        ShowNetwork();
        _network.Dispose();
        Action close;
        lock (_gate)
        {
            close = _content.Show([]);
        }

        close();
        capture?.Measuring.Wait(Patience);
    }

    private static (ReadyShow? Show, LookTrial? Look, string Gone) On(RigScene rig, CaptureDeck? deck, LookTrial? look)
    {
        try
        {
            if (look is null)
            {
                return (deck?.Prepare(rig, deck.Position()), null, "");
            }

            return look.On(rig, out var why) is { } trial ? (null, trial, "")
                : (null, null, $"the look {look.Name} is no longer tried, the network is shown: {why}");
        }
        catch (Exception e) when (e is CaptureException or IOException or UnauthorizedAccessException)
        {
            return (null, null, $"the capture is no longer shown, the network is: {e.Message}");
        }
    }

    private static ContentDesk Laid(ContentParts parts, RigScene rig)
    {
        var desk = new ContentDesk(parts);
        _ = desk.Show(desk.Make(rig));
        return desk;
    }

    private OnStage Now()
    {
        if (_capture is { } capture)
        {
            FollowBehind(capture);
        }

        var at = _capture?.Now() ?? clock.GetElapsedTime(_start);
        var stage = _capture?.Stage ?? _look?.Show.Stage ?? _network.Stage;
        _asIf.Hold(stage, at);
        _content.LayOver(stage, _capture, _look is not null);
        return new OnStage(stage, at, _capture is null && _look is null, _version, _asIf.Levels);
    }

    private void Leave()
    {
        EndAsIf();
        _capture?.Dispose();
        (_capture, _look) = (null, null);
    }
}
