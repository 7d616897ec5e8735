using System.Numerics;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Comfort;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Series;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Cautions.Comfort;

public sealed class ComfortWatchTests
{
    [Fact]
    public void The_worst_ten_moments_are_a_second_apart_and_worst_first()
    {
        var watch = new ComfortWatch();
        for (var k = 0; k < 40_000; k++)
        {
            var t = k * 0.05;
            // A blinder every 100 s, each brighter than the last, half a second long.
            var blinder = t % 100 is >= 50 and < 50.5 ? 1000 + (10 * Math.Floor(t / 100)) : 3;
            watch.Add(t, blinder, blinder * 2, 1);
        }

        Assert.Equal(ComfortWatch.Worst, watch.WorstIlluminances.Count);
        Assert.Equal(Enumerable.Range(0, 10).Select(i => 1190.0 - (10 * i)), watch.WorstIlluminances.Select(m => m.Lux));
        Assert.Equal(1950, watch.WorstIlluminances[0].Seconds, 0.001);
        Assert.Equal(2380, watch.WorstLuminances[0].BrightestCandela);
        Assert.InRange(watch.Illuminance.Points.Count, 256, 1024);
        Assert.Equal(1190, watch.Illuminance.Points.Max(p => p.Largest));
        Assert.Equal(3, watch.Illuminance.Points.Min(p => p.Least));
    }

    [Fact]
    public void A_long_curve_keeps_its_largest_value_and_its_time()
    {
        var series = new DecimatedSeries(64, 0.1);
        for (var k = 0; k < 100_000; k++)
        {
            series.Add(k * 0.01, k == 54_321 ? 99 : Math.Sin(k * 0.01));
        }

        Assert.True(series.Points.Count <= 64);
        var peak = series.Points.MaxBy(p => p.Largest);
        Assert.Equal((99.0, 543.21), (peak.Largest, Math.Round(peak.LargestAt, 6)));
        Assert.True(peak.From <= 543.21 && peak.From + series.Width > 543.21);
        Assert.Equal(series.Points.Select(p => p.From).Order(), series.Points.Select(p => p.From));
    }

    // A wall that strobes at 15 Hz before a seat: seen, counted by both rules, and the light on the eye is the meter's.
    [Fact]
    public void A_seat_before_a_strobing_wall()
    {
        var b = Rooms.Builder();
        var seat = new PlaceWatch("seat", new Vector3(0, -6, 1.2f), Vector3.UnitY, null, new FieldSampler(FieldGrid.Eye(40, 30, 2, 10)));
        var most = 0f;
        for (var k = 0; k < 80; k++)
        {
            b.Begin();
            b.AddSurface(new PixelSurface
            {
                Columns = 2, Rows = 1, Fill = 1, Origin = new Vector3(-2, 0, 2.2f), EdgeU = new Vector3(4, 0, 0),
                EdgeV = new Vector3(0, 0, -2)
            })
                .Fill(new Vector3(k % 4 < 2 ? 400 : 0));
            var m = b.Build(TimeSpan.Zero);
            var scene = OcclusionScene.From(m);
            var meter = new LightMeter(m, scene);
            most = MathF.Max(most, meter.At(seat.Eye, Vector3.UnitY).Lux);
            seat.Add(k / 60.0, meter, scene);
        }

        Assert.Same(seat.Wcag, seat.Broadcast);
        Assert.InRange(Assert.Single(seat.Wcag.Spells).Flashes, 14, 16);
        Rooms.Near(most, seat.Comfort.WorstIlluminances[0].Lux, 1e-5);
        Rooms.Near(400, seat.Comfort.WorstLuminances[0].BrightestCandela, 1e-4);
        // Where white is taken brighter, WCAG's share no longer is BT.1702's limit, and each has its own meter.
        var two = new PlaceWatch("seat", Vector3.Zero, Vector3.UnitY, new CautionLimits { WhiteCandela = 1000 });
        Assert.NotSame(two.Wcag, two.Broadcast);
    }
}
