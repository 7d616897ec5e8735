using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Moves;

/// <summary>Follows one fixture through a show and writes down where it stands still while lit.</summary>
internal sealed class HoldTracker
{
    /// <summary>Shorter stops are passing points of a move, s.</summary>
    private const double Least = .2;

    /// <summary>Targets nearer to each other are the same, degrees: less than a 16-bit step of any head.</summary>
    private const double Same = .001;

    private readonly FixtureRun _run;
    private readonly (FixtureRun Run, int Geometry)[] _under;
    private readonly int _pan, _tilt, _zoom, _focus;
    private readonly List<HeldStretch> _done;
    private readonly List<HeldOptics> _optics = [];
    private readonly double[] _riding;
    private (double From, double Pan, double Tilt, double Left)? _open;
    private (double From, double Zoom, double Focus)? _seen;
    private (double Pan, double Tilt) _going;
    private double _left, _there;

    /// <param name="run">The fixture.</param>
    /// <param name="under">Axes of what carries it.</param>
    /// <param name="done">What is found.</param>
    public HoldTracker(FixtureRun run, IReadOnlyList<(FixtureRun Run, int Geometry)> under, List<HeldStretch> done)
    {
        (_run, _under, _done) = (run, [.. under], done);
        _pan = Array.FindIndex(run.Program.Movers, m => m.Kind == MoverKind.Pan);
        _tilt = Array.FindIndex(run.Program.Movers, m => m.Kind == MoverKind.Tilt);
        (_zoom, _focus) = (Of(AttributeOp.Zoom), Of(AttributeOp.Focus));
        _riding = new double[under.Count];

        int Of(AttributeOp op) => Array.FindIndex(run.Program.Channels, c => c.Functions.Any(f => f.Op == op));
    }

    public bool HasAxes => _pan >= 0 || _tilt >= 0;

    /// <summary>Just after levels changed, its own or those of what carries it.</summary>
    public void Changed(double at)
    {
        var (pan, panAt) = Target(_run, _pan);
        var (tilt, tiltAt) = Target(_run, _tilt);
        var rides = false;
        var there = Math.Max(panAt, tiltAt);
        for (var i = 0; i < _under.Length; i++)
        {
            var (value, arrives) = Target(_under[i].Run, _under[i].Run.Program.AxisMovers[_under[i].Geometry]);
            rides |= Math.Abs(value - _riding[i]) > Same;
            there = Math.Max(there, arrives);
            if (_open is null || rides)
            {
                Close(at);
                _riding[i] = value;
            }
        }

        if (rides || Math.Abs(pan - _going.Pan) > Same || Math.Abs(tilt - _going.Tilt) > Same)
        {
            // A fade tells a new target at each tick: it set off with the first.
            _left = at >= _there ? at : _left;
            _going = (pan, tilt);
        }

        _there = there;
        var lit = LitTest.IsLit(_run) && double.IsFinite(there);
        if (_open is { } open && (!lit || Math.Abs(pan - open.Pan) > Same || Math.Abs(tilt - open.Tilt) > Same))
        {
            Close(at);
        }

        if (lit && _open is null)
        {
            _open = (Math.Max(at, _there), pan, tilt, _left);
        }

        See(at);
    }

    /// <summary>After the last levels.</summary>
    public void Close(double at)
    {
        EndOptics(at);
        if (_open is { } open && at >= open.From + Least)
        {
            _done.Add(new HeldStretch(_run.Fixture.Index, open.From, at, (float)open.Pan, (float)open.Tilt)
            {
                Left = open.Left,
                Riding = [.. _under.Select((u, i) =>
                    new HeldAxis(u.Run.Fixture.Index, u.Geometry, u.Run.Program.Mode.Geometry[u.Geometry].Axis!.Motion, (float)_riding[i]))],
                Optics = [.. _optics],
            });
        }

        _optics.Clear();
        _open = null;
    }

    /// <summary>Zoom and focus as they now are asked for, from when they will be there.</summary>
    private void See(double at)
    {
        if (_open is not { } open || (_zoom < 0 && _focus < 0))
        {
            return;
        }

        var (zoom, zoomAt) = Value(_zoom);
        var (focus, focusAt) = Value(_focus);
        if (_seen is { } seen && Math.Abs(seen.Zoom - zoom) <= Same && Math.Abs(seen.Focus - focus) <= Same)
        {
            return;
        }

        EndOptics(at);
        _seen = (Math.Max(Math.Max(open.From, at), Math.Max(zoomAt, focusAt)), zoom, focus);
    }

    private void EndOptics(double at)
    {
        if (_seen is { } seen && at >= seen.From + Least)
        {
            _optics.Add(new HeldOptics(seen.From, at, _zoom >= 0 ? (float)seen.Zoom : null, _focus >= 0 ? (float)seen.Focus : null));
        }

        _seen = null;
    }

    /// <summary>What a channel's function asks for, and when its mover will be there, s.</summary>
    private (double Value, double At) Value(int channel)
    {
        if (channel < 0 || _run.FunctionOf(channel) is not { } f)
        {
            return (0, 0);
        }

        return f.Mover >= 0 && _run.Program.Movers[f.Mover].Kind == MoverKind.Value ? Target(_run, f.Mover) : (_run.Physical[channel], 0);
    }

    /// <summary>Where an axis goes and when it will have settled there, s; never for one that turns without end.</summary>
    private static (double Value, double At) Target(FixtureRun run, int mover)
    {
        if (mover < 0)
        {
            return (0, 0);
        }

        var travel = run.Travels[mover];
        return (travel.Target, travel.IsEndless ? double.PositiveInfinity : travel.ArrivalSeconds + run.Program.Movers[mover].SettleSeconds);
    }
}
