using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Measure;

public sealed class LightMeterTests
{
    // Inverse square and cosine laws (IES Lighting Handbook, point-source calculation): an isotropic 10,000 lm source 3 m over
    // the floor gives E = (10000/4π)·h/(h²+r²)^1.5.
    [Theory]
    [InlineData(0, 88.42)]
    [InlineData(1, 75.49)]
    [InlineData(2, 50.93)]
    [InlineData(3, 31.26)]
    [InlineData(4, 19.10)]
    [InlineData(5, 12.04)]
    public void A_bare_lamp_follows_inverse_square_and_cosine(float r, double lux)
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(0, 0, 3)));
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var meter = Rooms.Meter(b.Build(TimeSpan.Zero));
        var e = meter.At(new Vector3(r, 0, 0), Vector3.UnitZ);
        Rooms.Near(lux, e.Lux, 0.001);
        Assert.Equal(e.Lux, e.Direct);
    }

    [Fact]
    public void A_tilted_spot_gives_its_axis_intensity_over_distance_squared_times_cosine()
    {
        var from = new Vector3(0, -6, 8);
        var to = new Vector3(1, 2, 0);
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(from, to));
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var m = b.Build(TimeSpan.Zero);
        // By hand: d² = 1 + 64 + 64 = 129, cos = 8/√129; I = 10000 lm × candela per lumen.
        var expected = m.Beams.Span[0].PeakCandela / 129.0 * (8 / Math.Sqrt(129));
        Rooms.Near(expected, Rooms.Meter(m).At(to, Vector3.UnitZ).Lux, 0.001);
        // The vertical plane that faces the lamp along -Y: cos = 8/√129 again (Δy = 8).
        Rooms.Near(expected, Rooms.Meter(m).At(to, -Vector3.UnitY).Lux, 0.001);
        Assert.Equal(0, Rooms.Meter(m).At(to, Vector3.UnitY).Lux);
    }

    [Fact]
    public void Haze_takes_its_share_by_Beer_and_Lambert_from_the_lens_on()
    {
        var b = Rooms.Builder();
        b.Haze = new Haze(0.05f, 1, 0.7f);
        b.Add(Rooms.Spot(new Vector3(0, 0, 10), Vector3.Zero) with { StartDistance = 0.5f });
        var m = b.Build(TimeSpan.Zero);
        var clear = Rooms.Meter(m, MeterSettings.ClearAir).At(Vector3.Zero, Vector3.UnitZ).Lux;
        var straight = Rooms.Meter(m, MeterSettings.Default with { ThrownForward = false });
        Rooms.Near(clear * Math.Exp(-0.05 * 9.5), straight.At(Vector3.Zero, Vector3.UnitZ).Lux, 0.001);
    }

    [Fact]
    public void A_plate_in_the_way_blocks_and_one_beside_it_does_not()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 10), Vector3.Zero));
        b.Add(Rooms.Plate(new Vector3(0, 0, 5), 0.2f));
        b.Add(Rooms.Plate(new Vector3(2, 0, 5), 0.2f));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(0, Rooms.Meter(m).At(Vector3.Zero, Vector3.UnitZ).Lux);
        // The plate's shadow on the floor ends at .2 × 10/5 = .4 m.
        Assert.Equal(0, Rooms.Meter(m).At(new Vector3(0.39f, 0, 0), Vector3.UnitZ).Lux);
        Assert.True(Rooms.Meter(m).At(new Vector3(0.41f, 0, 0), Vector3.UnitZ).Lux > 0);
    }

    [Fact]
    public void Reflected_light_travels_the_unfolded_path_and_loses_at_the_mirror()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4)));
        // A mirror at y = 5 turned 45° down: the beam goes on straight down to the floor 4 m below.
        var n = Vector3.Normalize(new Vector3(0, -1, -1));
        b.AddMirror(new Vector3(0, 5, 4), n, Vector3.Normalize(new Vector3(0, -1, 1)), 3, 3, 0.8f);
        b.Add(Rooms.Plate(Vector3.Zero, 10));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(2, m.Beams.Length);
        var e = Rooms.Meter(m).At(new Vector3(0, 5, 0), Vector3.UnitZ);
        Rooms.Near(0.8 * m.Beams.Span[0].PeakCandela / 81, e.Reflected, 0.001);
        Assert.Equal(0, e.Direct);
    }

    [Fact]
    public void Something_on_the_first_leg_blocks_the_reflected_light()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 4), new Vector3(0, 5, 4)));
        b.AddMirror(new Vector3(0, 5, 4), Vector3.Normalize(new Vector3(0, -1, -1)), Vector3.Normalize(new Vector3(0, -1, 1)), 3, 3);
        b.Add(Rooms.Plate(new Vector3(0, 2, 4), 0.1f, new Vector3(90, 0, 0)));
        var m = b.Build(TimeSpan.Zero);
        Assert.Equal(0, Rooms.Meter(m).At(new Vector3(0, 5, 0), Vector3.UnitZ).Lux);
        Assert.True(new LightMeter(m, null).At(new Vector3(0, 5, 0), Vector3.UnitZ).Lux > 0);
    }

    [Fact]
    public void A_mirror_throws_a_shadow_behind_it()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Spot(new Vector3(0, 0, 10), Vector3.Zero));
        b.AddMirror(new Vector3(0, 0, 5), Vector3.UnitZ, Vector3.UnitY, 0.4f, 0.4f);
        Assert.Equal(0, Rooms.Meter(b.Build(TimeSpan.Zero)).At(Vector3.Zero, Vector3.UnitZ).Lux);
    }
}
