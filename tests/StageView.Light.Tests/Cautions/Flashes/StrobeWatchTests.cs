using System.Numerics;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Cautions.Flashes;

public sealed class StrobeWatchTests
{
    private static StrobeWatch Fed(Func<double, float> lumens, double seconds = 6, double step = 0.01)
    {
        var watch = new StrobeWatch(2);
        for (var k = 0; k * step < seconds; k++)
        {
            watch.Add(k * step, [lumens(k * step), 0]);
        }

        return watch;
    }

    private static float Square(double t, double hertz, float low, float high, double duty = 0.5) =>
        (t * hertz) - Math.Floor((t * hertz) + 1e-9) < duty ? high : low;

    // The UK's Health and Safety Executive recommends four flashes a second at most, as the Epilepsy Society cites it.
    [Theory]
    [InlineData(4, false)]
    [InlineData(5, true)]
    [InlineData(12, true)]
    public void Four_flashes_a_second_pass_and_five_are_listed(double hertz, bool listed)
    {
        var watch = Fed(t => Square(t, hertz, 0, 8000));
        Assert.Equal(hertz, watch.HighestRate(0), 0.1 * hertz);
        Assert.Equal(listed, watch.Spells.Count > 0);
        Assert.All(watch.Spells, s => Assert.Equal(0, s.Fixture));
    }

    [Fact]
    public void A_dark_fixture_never_counts()
    {
        Assert.Empty(Fed(t => Square(t, 10, 0, 0)).Spells);
        Assert.Empty(Fed(t => Square(t, 10, 0, 0.9f)).Spells);
    }

    [Fact]
    public void A_pulse_that_stays_above_half_is_none_and_one_that_falls_to_a_third_is()
    {
        Assert.Empty(Fed(t => Square(t, 8, 5100, 10_000)).Spells);
        Assert.Single(Fed(t => Square(t, 8, 3300, 10_000)).Spells);
    }

    [Fact]
    public void Fades_and_single_flashes_are_none()
    {
        Assert.Equal(0, Fed(t => (float)(5000 - (5000 * Math.Cos(t * Math.Tau / 3)))).HighestRate(0));
        Assert.Equal(0, Fed(t => t is > 2 and < 2.05 ? 9000 : 0).HighestRate(0));
    }

    [Fact]
    public void Two_spells_a_while_apart_are_told_apart()
    {
        var watch = Fed(t => t is < 2 or > 4 ? Square(t, 10, 0, 5000) : 0);
        Assert.Equal(2, watch.Spells.Count);
        Assert.Equal(2, watch.SpellCount);
        Assert.InRange(watch.Spells[0].To, 1.9, 2.1);
        Assert.InRange(watch.Spells[1].From, 3.9, 4.2);
        Assert.All(watch.Spells, s => Assert.Equal(10, s.Rate, 0.3));
    }

    // A Lambertian face sends out π·L·A (IES Lighting Handbook); what shines counts, reflections of it don't again.
    [Fact]
    public void Lumens_of_a_fixture_are_what_leaves_it()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4), 900) with { Fixture = new(0) });
        b.AddMirror(new Vector3(0, 5, 4), -Vector3.UnitY, Vector3.UnitZ, 3, 3);
        b.AddSurface(new PixelSurface
        {
            Fixture = new(1), Columns = 2, Rows = 1, Fill = 0.5f, EdgeU = Vector3.UnitX * 2,
            EdgeV = -Vector3.UnitZ
        })[0] = new Vector3(100);
        var m = b.Build(TimeSpan.Zero);
        Assert.True(m.Beams.Length > 1);
        var lumens = new float[3];
        StrobeWatch.Lumens(m, lumens);
        Rooms.Near(900, lumens[0], 1e-5);
        Rooms.Near(50 * Math.PI * 2 * 0.25, lumens[1], 1e-5);
        Assert.Equal(0, lumens[2]);
    }
}
