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
    private readonly int _pan, _tilt;
    private readonly List<HeldStretch> _done;
    private (double From, double Pan, double Tilt, double Left)? _open;
    private (double Pan, double Tilt) _going;
    private double _left, _there;

    public HoldTracker(FixtureRun run, List<HeldStretch> done)
    {
        (_run, _done) = (run, done);
        _pan = Array.FindIndex(run.Program.Movers, m => m.Kind == MoverKind.Pan);
        _tilt = Array.FindIndex(run.Program.Movers, m => m.Kind == MoverKind.Tilt);
    }

    public bool HasAxes => _pan >= 0 || _tilt >= 0;

    /// <summary>Just after levels changed.</summary>
    public void Changed(double at)
    {
        var (pan, panAt) = Target(_pan);
        var (tilt, tiltAt) = Target(_tilt);
        if (Math.Abs(pan - _going.Pan) > Same || Math.Abs(tilt - _going.Tilt) > Same)
        {
            // A fade tells a new target at each tick: it set off with the first.
            _left = at >= _there ? at : _left;
            _going = (pan, tilt);
        }

        _there = Math.Max(panAt, tiltAt);
        var lit = LitTest.IsLit(_run) && double.IsFinite(panAt) && double.IsFinite(tiltAt);
        if (_open is { } open && (!lit || Math.Abs(pan - open.Pan) > Same || Math.Abs(tilt - open.Tilt) > Same))
        {
            Close(at);
        }

        if (lit && _open is null)
        {
            _open = (Math.Max(at, _there), pan, tilt, _left);
        }
    }

    /// <summary>After the last levels.</summary>
    public void Close(double at)
    {
        if (_open is { } open && at >= open.From + Least)
        {
            _done.Add(new HeldStretch(_run.Fixture.Index, open.From, at, (float)open.Pan, (float)open.Tilt) { Left = open.Left });
        }

        _open = null;
    }

    /// <summary>Where an axis goes and when it will have settled there, s; never for one that turns without end.</summary>
    private (double Degrees, double At) Target(int mover)
    {
        if (mover < 0)
        {
            return (0, 0);
        }

        var travel = _run.Travels[mover];
        return (travel.Target, travel.IsEndless ? double.PositiveInfinity : travel.ArrivalSeconds + _run.Program.Movers[mover].SettleSeconds);
    }
}
