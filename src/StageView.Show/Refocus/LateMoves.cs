using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Motion;

namespace StageView.Show.Refocus;

/// <summary>Which moves between a fixture's positions come later in the new venue, since the axes have farther to go.</summary>
internal static class LateMoves
{
    /// <summary>Less is not told, s; common practice, no source.</summary>
    private const double Least = .1;

    /// <summary>How much later the worst move into each position comes, s; 0 where none does.</summary>
    /// <param name="fixture">The head in the new venue.</param>
    /// <param name="all">Its positions with old and new pan and tilt; only those that have new ones.</param>
    public static IReadOnlyDictionary<HeldPosition, double> Of(
        Fixture fixture, IReadOnlyList<(HeldPosition Position, float NewPan, float NewTilt)> all)
    {
        var worst = new Dictionary<HeldPosition, double>(ReferenceEqualityComparer.Instance);
        var uses = all.SelectMany(a => a.Position.Uses.Select(u => (Use: u, a.Position, a.NewPan, a.NewTilt))).OrderBy(u => u.Use.From).ToList();
        foreach (var (from, to) in uses.Zip(uses.Skip(1)))
        {
            var now = Seconds(fixture, to.NewPan - from.NewPan, to.NewTilt - from.NewTilt);
            var before = Seconds(fixture, to.Position.Pan - from.Position.Pan, to.Position.Tilt - from.Position.Tilt);

            // It had from when it set off until it was lit at its place; what the console fades or holds back longer costs nothing.
            var late = Math.Min(now - before, now - (to.Use.From - to.Use.Left));
            if (late > Least)
            {
                worst[to.Position] = Math.Max(late, worst.GetValueOrDefault(to.Position));
            }
        }

        return worst;
    }

    /// <summary>The longer of both axes' moves from rest to rest at full speed, settling included, s.</summary>
    private static double Seconds(Fixture fixture, double pan, double tilt)
    {
        var axes = fixture.Mode.Geometry.Select(g => g.Axis).OfType<AxisData>().ToList();
        return Math.Max(One(AxisMotion.TurnZ, pan), One(AxisMotion.TurnX, tilt));

        double One(AxisMotion motion, double degrees) => axes.Find(a => a.Motion == motion) is { } axis && Math.Abs(degrees) > .01
            ? Travel.To(0, 0, 0, degrees, axis.TopSpeed, axis.Acceleration).ArrivalSeconds + axis.SettleSeconds : 0;
    }
}
