using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Beams;

/// <summary>
/// A lens of real size beside the mean over a lens whose every point sends out the whole profile: E = 1/(π r²) ∫ I(angle) cos² / d² dA, by rings and azimuths
/// of our own.
/// </summary>
public sealed class NearFieldTests
{
    private const float Radius = 0.075f;

    [Theory]
    [InlineData(4, 4.5f, 0.02)]
    [InlineData(4, 7.3f, 0.08)]
    [InlineData(19, 23, 0.035)]
    [InlineData(19, 34, 0.085)]
    [InlineData(40, 60, 0.065)]
    public void On_the_axis_a_lens_is_the_mean_over_its_points(float beam, float field, double share)
    {
        var moment = Of(beam, field);
        var meter = new LightMeter(moment, null);
        foreach (var distance in (float[])[0.1f, 0.2f, 0.4f, 0.8f, 1.6f, 3, 5, 10, 20])
        {
            var mean = Mean(moment.Beams.Span[0], distance);
            var lux = meter.At(new Vector3(0, 0, -distance), Vector3.UnitZ).Lux;
            Assert.True(Math.Abs((lux / mean) - 1) < share, $"{distance} m: {lux:0.0} lx, mean over the lens {mean:0.0}");
        }
    }

    [Theory]
    [InlineData(4, 4.5f)]
    [InlineData(4, 7.3f)]
    [InlineData(19, 23)]
    public void No_lumen_is_lost_at_any_distance(float beam, float field)
    {
        var moment = Of(beam, field);
        var meter = new LightMeter(moment, null);
        foreach (var distance in (float[])[0.02f, 0.3f, 1, 2, 5, 20])
        {
            double sum = 0;
            var wide = 1.01f * NearField.Seeming(moment.Beams.Span[0], distance) * MathF.Tan(moment.Beams.Span[0].Profile.CutoffRadians);
            const int rings = 4000;
            for (var i = 0; i < rings; i++)
            {
                var off = wide * (i + 0.5f) / rings;
                sum += meter.At(new Vector3(off, 0, -distance), Vector3.UnitZ).Lux * Math.Tau * off * wide / rings;
            }

            Assert.InRange(sum, 9950, 10050);
        }
    }

    [Fact]
    public void At_the_lens_the_section_is_the_lens()
    {
        var moment = Of(10, 10.4f);
        var meter = new LightMeter(moment, null);
        float At(float off) => meter.At(new Vector3(off, 0, -0.002f), Vector3.UnitZ).Lux;
        Assert.Equal(10_000 / (MathF.PI * Radius * Radius), At(0), 0.03f * At(0));
        Assert.True(At(0.9f * Radius) > 0.7f * At(0));
        Assert.Equal(0, At(1.1f * Radius));
        Assert.Equal(0, meter.At(new Vector3(0, 0, 0.1f), -Vector3.UnitZ).Lux);
        Assert.Equal(0, meter.At(new Vector3(0, 0, 0.1f), Vector3.UnitZ).Lux);
    }

    [Fact]
    public void A_mirror_sees_the_same_lens_on_a_longer_way()
    {
        var b = new MomentBuilder();
        b.Begin();
        b.AddMirror(new Vector3(0, 0, -2), Vector3.UnitZ, Vector3.UnitY, 4, 4, reflectance: 1);
        b.Add(Spot(4, 6));
        var meter = new LightMeter(b.Build(TimeSpan.Zero, 1), null, MeterSettings.ClearAir);
        var straight = new LightMeter(Of(4, 6), null);
        foreach (var off in (float[])[0, 0.05f, 0.1f])
        {
            Assert.Equal(straight.At(new Vector3(off, 0, -3), Vector3.UnitZ).Lux, meter.At(new Vector3(off, 0, -1), -Vector3.UnitZ).Lux, 30f);
        }
    }

    private static Beam Spot(float beam, float field)
    {
        var spot = Rooms.Spot(Vector3.Zero, -Vector3.UnitZ, 10_000, beam, field);
        return spot with
        {
            ApertureRadius = Radius,
            NearLength = NearField.Length(Radius, spot.Profile),
            NearSharpness = NearField.Sharpness(spot.Profile),
        };
    }

    private static Moment Of(float beam, float field)
    {
        var b = new MomentBuilder();
        b.Begin();
        b.Add(Spot(beam, field));
        return b.Build(TimeSpan.Zero);
    }

    /// <summary>On the axis, so one azimuth tells all.</summary>
    private static double Mean(in Beam beam, float distance)
    {
        const int rings = 100_000;
        double sum = 0;
        for (var i = 0; i < rings; i++)
        {
            var square = Radius * Radius * (i + 0.5) / rings;
            var d = Math.Sqrt((distance * distance) + square);
            sum += beam.PeakCandela * beam.Profile.At((float)Math.Atan(Math.Sqrt(square) / distance)) * distance / (d * d * d) / rings;
        }

        return sum;
    }
}
