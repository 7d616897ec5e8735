using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Moves;

/// <summary>Follows one fixture through a show and writes down its moves.</summary>
internal sealed class MoveTracker
{
    /// <summary>How often the way is looked at while lit, s.</summary>
    private const double Step = .01;

    /// <summary>Dimmer × shutter from which a fixture counts as lit.</summary>
    private const float Lit = .01f;

    private readonly FixtureRun _run;
    private readonly int[] _axes;
    private readonly List<FixtureMove> _done;
    private bool _moving, _lit, _stale;
    private double _start, _command, _arrival, _looked, _offDegrees, _offMetres, _darkSince, _darkBefore;
    private double? _litFrom;
    private FixtureMove? _waiting;

    public MoveTracker(FixtureRun run, bool winches, List<FixtureMove> done)
    {
        (_run, _done) = (run, done);
        _axes = [.. Enumerable.Range(0, run.Travels.Length).Where(m => run.Program.Movers[m] is { IsAxis: true } a && (winches || a.Kind != MoverKind.Travel))];
    }

    public bool HasAxes => _axes.Length > 0;

    /// <summary>Just after levels changed.</summary>
    public void Changed(double at)
    {
        var lit = IsLit();
        var cameUp = lit && !_lit;
        if (cameUp)
        {
            if (_waiting is { } waiting)
            {
                _done.Add(waiting with { SpareSeconds = at - waiting.Arrival.TotalSeconds });
                _waiting = null;
            }
        }
        else if (!lit && (_lit || _stale))
        {
            _darkSince = at;
        }

        (_lit, _stale) = (lit, false);
        var arrival = at;
        var restarted = false;
        foreach (var m in _axes)
        {
            var t = _run.Travels[m];
            if (!t.IsEndless && t.ArrivalSeconds > at)
            {
                arrival = Math.Max(arrival, t.ArrivalSeconds + _run.Program.Movers[m].SettleSeconds);
                restarted |= t.StartSeconds == at;
            }
        }

        if (restarted && !_moving)
        {
            Flush(at);
            (_moving, _start, _looked, _offDegrees, _offMetres, _litFrom) = (true, at, at, 0, 0, null);
        }

        if (_moving)
        {
            _command = restarted ? at : _command;
            _arrival = Math.Max(arrival, restarted ? 0 : _arrival);
            if (lit && _litFrom is null)
            {
                _litFrom = at;
                _darkBefore = cameUp ? at - _darkSince : 0;
            }
        }
    }

    /// <summary>Looks at the way up to a time, before levels change at it or at the end.</summary>
    public void AdvanceTo(double at)
    {
        if (!_moving)
        {
            return;
        }

        var until = Math.Min(at, _arrival);
        if (_lit)
        {
            for (var t = _looked; t < until; t += Step)
            {
                Look(t);
            }
        }

        _looked = until;
        if (at >= _arrival)
        {
            Finish();
        }
    }

    /// <summary>After the last levels.</summary>
    public void End(double at)
    {
        AdvanceTo(Math.Max(at, _moving ? _arrival : at));
        Flush(at);
    }

    private void Flush(double at)
    {
        if (_waiting is { } waiting)
        {
            _done.Add(waiting with { SpareSeconds = Math.Max(0, at - waiting.Arrival.TotalSeconds) });
            _waiting = null;
        }
    }

    private void Finish()
    {
        _moving = false;
        var late = _litFrom is { } lit ? Math.Max(0, _arrival - Math.Max(lit, _command)) : 0;
        var move = new FixtureMove
        {
            Fixture = _run.Fixture.Index,
            Name = _run.Fixture.Name,
            Start = TimeSpan.FromSeconds(_start),
            LastCommand = TimeSpan.FromSeconds(_command),
            Arrival = TimeSpan.FromSeconds(_arrival),
            LitFrom = _litFrom is { } l ? TimeSpan.FromSeconds(l) : null,
            LateSeconds = late,
            OffDegrees = _offDegrees,
            OffMetres = _offMetres,
            DarkBeforeSeconds = _litFrom is null ? 0 : _darkBefore,
        };
        if (move.IsLit)
        {
            _done.Add(move);
        }
        else
        {
            _waiting = move;
        }
    }

    private void Look(double t)
    {
        double pan = 0, tilt = 0, panTo = 0, tiltTo = 0;
        foreach (var m in _axes)
        {
            var (now, to) = (_run.Travels[m].PositionAt(t), _run.Travels[m].Target);
            switch (_run.Program.Movers[m].Kind)
            {
                case MoverKind.Pan when !_run.Travels[m].IsEndless:
                    (pan, panTo) = (now, to);
                    break;
                case MoverKind.Tilt when !_run.Travels[m].IsEndless:
                    (tilt, tiltTo) = (now, to);
                    break;
                case MoverKind.Travel:
                    _offMetres = Math.Max(_offMetres, Math.Abs(to - now));
                    break;
                default:
                    break;
            }
        }

        _offDegrees = Math.Max(_offDegrees, Between(pan, tilt, panTo, tiltTo));
    }

    /// <summary>Angle between two directions of a head: (-sin p sin t, cos p sin t, -cos t).</summary>
    private static double Between(double pan, double tilt, double panTo, double tiltTo)
    {
        const double r = Math.PI / 180;
        var cosine = (Math.Sin(tilt * r) * Math.Sin(tiltTo * r) * Math.Cos((pan - panTo) * r)) + (Math.Cos(tilt * r) * Math.Cos(tiltTo * r));
        return Math.Acos(Math.Clamp(cosine, -1, 1)) / r;
    }

    private bool IsLit()
    {
        for (var e = 0; e < _run.Tracks.Length; e++)
        {
            var s = _run.Tracks[e].Latest;
            if (s.Dimmer * s.Open > Lit && GivesColour(_run.Program.Emitters[e]))
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>An additive mix with every colour at zero is dark; a grid that only pixels drive counts as dark.</summary>
    private bool GivesColour(EmitterCode emitter)
    {
        if (emitter.Block is not null && emitter.Node.Beam is null)
        {
            return false;
        }

        return !emitter.IsAdditive || emitter.Channels.Any(c => _run.FunctionOf(c) is { } f
            && ((f.Op == AttributeOp.Add && _run.Physical[c] > Lit)
                || (f.Op == AttributeOp.ColourMacro && MacroColours.Of(emitter, f, _run.Sets[c]) is not null)));
    }

    /// <summary>Starts the count of dark time at the beginning of the show.</summary>
    public void Begin(double at)
    {
        (_darkSince, _stale) = (at, true);
        _lit = IsLit();
    }
}
