using StageView.Rig.Profiles;
using StageView.Stage.State;

namespace StageView.Stage.Moves;

/// <summary>Follows one winch through a show and writes down where it stands still.</summary>
internal sealed class HeightTracker(FixtureRun run, int geometry, List<HeldHeight> done)
{
    /// <summary>Shorter stops are passing points of a move, s.</summary>
    private const double Least = .2;

    /// <summary>Targets nearer to each other are the same, m.</summary>
    private const double Same = .001;

    private readonly int _mover = run.Program.AxisMovers[geometry];
    private (double From, double Metres)? _open = (0, run.Travels[run.Program.AxisMovers[geometry]].Target);

    /// <summary>One for each axis of a fixture that travels.</summary>
    public static IEnumerable<HeightTracker> Of(FixtureRun run, List<HeldHeight> done) => run.Program.Mode.Geometry
        .Where(g => g.Axis?.Motion == AxisMotion.TravelZ && run.Program.AxisMovers[g.Index] >= 0).Select(g => new HeightTracker(run, g.Index, done));

    /// <summary>Just after levels changed.</summary>
    public void Changed(double at)
    {
        var travel = run.Travels[_mover];
        if (_open is { } open && Math.Abs(travel.Target - open.Metres) > Same)
        {
            Close(at);
        }

        if (_open is null && !travel.IsEndless)
        {
            _open = (Math.Max(at, travel.ArrivalSeconds + run.Program.Movers[_mover].SettleSeconds), travel.Target);
        }
    }

    /// <summary>After the last levels.</summary>
    public void Close(double at)
    {
        if (_open is { } open && at >= open.From + Least)
        {
            done.Add(new HeldHeight(new HeldAxis(run.Fixture.Index, geometry, AxisMotion.TravelZ, (float)open.Metres), open.From, at));
        }

        _open = null;
    }
}
