using FsCheck;
using FsCheck.Fluent;
using StageView.Stage.Motion;

namespace StageView.Stage.Tests.Motion;

public sealed class TravelTests
{
    /// <summary>A move at half the limits that everybody can work by hand: 90° at 60°/s and 120°/s²: 0.5 s up (15°), 1 s (60°), 0.5 s down (15°).</summary>
    [Theory]
    [InlineData(0, 0)]
    [InlineData(.5, 15)]
    [InlineData(1, 45)]
    [InlineData(1.5, 75)]
    [InlineData(1.75, 86.25)]
    [InlineData(2, 90)]
    [InlineData(9, 90)]
    public void A_trapezoid_worked_by_hand(double t, double degrees) =>
        Assert.Equal(degrees, Travel.To(0, 0, 0, 90, 60, 120).PositionAt(t), 9);

    [Fact]
    public void A_short_move_never_reaches_top_speed()
    {
        var move = Travel.To(1, 10, 0, 16, 60, 150);
        // 6° at 150°/s²: half in √(6/150) = 0.2 s, at 30°/s.
        Assert.Equal(1.4, move.ArrivalSeconds, 9);
        Assert.Equal(13, move.PositionAt(1.2), 9);
        Assert.Equal(30, move.VelocityAt(1.2), 6);
    }

    [Fact]
    public void Turning_round_goes_on_before_it_comes_back()
    {
        // At 40°/s away from the target with 80°/s²: 10° further in 0.5 s before it stands.
        var move = Travel.To(0, 0, 40, -5, 60, 80);
        Assert.Equal(10, move.PositionAt(.5), 9);
        Assert.Equal(-5, move.PositionAt(move.ArrivalSeconds), 9);
    }

    [Fact]
    public void Closed_form_matches_a_fine_step_integration()
    {
        // Semi-implicit integration of the same bang-bang rule at 2 µs, retargeted on the way: within 0.01°.
        var random = new Random(20);
        for (var run = 0; run < 12; run++)
        {
            double top = 20 + (random.NextDouble() * 300), a = 50 + (random.NextDouble() * 900);
            var travel = Travel.Rest(0, 0);
            double p = 0, v = 0, target = 0, worst = 0;
            const double h = 2e-6;
            var next = 0.0;
            for (var i = 0; i < 600_000; i++)
            {
                var t = i * h;
                if (t >= next)
                {
                    target = (random.NextDouble() * 360) - 180;
                    travel = Travel.To(t, travel.PositionAt(t), travel.VelocityAt(t), target, top, a);
                    next += .1 + (random.NextDouble() * .5);
                }

                worst = Math.Max(worst, Math.Abs(p - travel.PositionAt(t)));
                Step(ref p, ref v, target, top, a, h);
            }

            Assert.True(worst < .01, $"off by {worst}° with top speed {top}, acceleration {a}");
        }
    }

    [Fact]
    public void Endless_turning_reaches_its_speed_and_keeps_it()
    {
        var turn = Travel.Endless(2, 30, 0, 90, 180);
        Assert.Equal(30 + 22.5, turn.PositionAt(2.5), 9);
        Assert.Equal(30 + 22.5 + 90, turn.PositionAt(3.5), 9);
        Assert.Equal(double.PositiveInfinity, turn.ArrivalSeconds);
        Assert.Equal(3, Travel.Endless(1, 0, 10, 0, 5).ArrivalSeconds, 9);
    }

    [Fact]
    public void Always_arrives_at_rest_and_keeps_to_its_limits()
    {
        Prop.ForAll(
            ArbMap.Default.ArbFor<NormalFloat>().Generator.Four().ToArbitrary(),
            x =>
            {
                double p = x.Item1.Get % 500, v = x.Item2.Get % 200, target = x.Item3.Get % 500, a = 20 + (Math.Abs(x.Item4.Get) % 500);
                var top = Math.Max(60, Math.Abs(v));
                var move = Travel.To(0, p, v, target, top, a);
                var end = move.ArrivalSeconds;
                var steady = true;
                for (var i = 0; i <= 50; i++)
                {
                    steady &= Math.Abs(move.VelocityAt(end * i / 50)) <= top + 1e-6;
                }

                return steady && Math.Abs(move.PositionAt(end - 1e-9) - target) < 1e-3 && move.PositionAt(end + 1) == target;
            }).QuickCheckThrowOnFailure();
    }

    private static void Step(ref double p, ref double v, double target, double top, double a, double h)
    {
        var d = target - p;
        var stop = v * Math.Abs(v) / (2 * a);
        double sense = d - stop >= 0 ? 1 : -1;
        if (Math.Abs(d) < 1e-4 && Math.Abs(v) < a * 2e-4)
        {
            (p, v) = (target, 0);
            return;
        }

        var v1 = Math.Clamp(v + (sense * a * h), -top, top);
        p += (v + v1) / 2 * h;
        v = v1;
    }
}
