using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Sampling;

namespace StageView.Light.Tests.Measure;

/// <summary>An edge at a from a source of diameter d throws a half-shadow d b/a wide at b behind it: the meter beside that, and beside the mean of
/// samples.</summary>
public sealed class HalfShadowTests
{
    [Theory]
    [InlineData(false, 8, 8, 0.15f)]
    [InlineData(false, 6, 3, 0.2f)]
    [InlineData(true, 8, 8, 0.15f)]
    [InlineData(true, 4, 1, 0.15f)]
    public void An_edge_throws_a_half_shadow_of_d_b_by_a(bool shadow, float a, float behind, float diameter)
    {
        var width = diameter * behind / a;
        var meter = Of(shadow, a, behind, diameter, null);
        float At(LightMeter m, float off) => m.At(new Vector3(off, 0, shadow ? -behind : behind), shadow ? Vector3.UnitZ : -Vector3.UnitZ).Lux;
        var full = At(meter, -width);
        Assert.True(full > 1);
        Assert.Equal(0, At(meter, 0.53f * width));
        Assert.Equal(full, At(meter, -0.53f * width), 0.01f * full);
        Assert.InRange(At(meter, 0.4f * width) / full, 0.02f, 0.08f);
        // A disc that a line cuts through its middle, and through half its radius: (acos t - t √(1 - t²))/π.
        Assert.InRange(At(meter, 0) / full, 0.47f, 0.53f);
        Assert.InRange(At(meter, -0.25f * width) / full, 0.77f, 0.84f);
        Assert.InRange(At(meter, 0.25f * width) / full, 0.16f, 0.23f);
        var samples = FrameSample.Of(64).Select(s => Of(shadow, a, behind, diameter, s)).ToList();
        foreach (var off in (float[])[-0.4f, -0.2f, 0.1f, 0.3f])
        {
            Assert.Equal(samples.Average(m => At(m, off * width)) / full, At(meter, off * width) / full, 0.04f);
        }
    }

    [Fact]
    public void A_point_source_throws_a_hard_edge()
    {
        var meter = Of(true, 8, 8, 0, null);
        Assert.Equal(0, meter.At(new Vector3(0.005f, 0, -8), Vector3.UnitZ).Lux);
        Assert.True(meter.At(new Vector3(-0.005f, 0, -8), Vector3.UnitZ).Lux > 1);
    }

    /// <summary>A lens that looks down at a mirror whose edge runs along y, or past a plate whose edge does.</summary>
    private static LightMeter Of(bool shadow, float a, float behind, float diameter, FrameSample? sample)
    {
        var b = Rooms.Builder();
        b.Sample = sample;
        b.Begin();
        if (shadow)
        {
            b.Add(Rooms.Plate(new Vector3(3, 0, 0), 3));
            b.Add(Rooms.Plate(new Vector3(0, 0, -behind - 0.1f), 9));
        }
        else
        {
            b.AddMirror(new Vector3(-1, 0, 0), Vector3.UnitZ, Vector3.UnitY, 2, 2, reflectance: 1);
        }

        var spot = Rooms.Spot(new Vector3(0, 0, a), Vector3.Zero, 10_000, 12, 20);
        b.Add(spot with
        {
            ApertureRadius = diameter / 2,
            NearLength = NearField.Length(diameter / 2, spot.Profile),
            NearSharpness = NearField.Sharpness(spot.Profile),
        });
        return Rooms.Meter(b.Build(TimeSpan.Zero, 1), MeterSettings.ClearAir);
    }
}
