using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Sampling;

namespace StageView.Light.Tests.Sampling;

/// <summary>Samples spread evenly, and their mean is what an area source does.</summary>
public sealed class FrameSampleTests
{
    [Fact]
    public void Every_part_of_every_dimension_has_one_point()
    {
        for (var d = 0; d < Sobol.Dimensions; d++)
        {
            foreach (var count in (int[])[2, 16, 256])
            {
                Assert.Equal(Enumerable.Range(0, count), Enumerable.Range(0, count).Select(i => (int)(Sobol.At(i, d) * count)).Order());
                Assert.Equal(Enumerable.Range(0, count), Enumerable.Range(3 * count, count).Select(i => (int)(Sobol.At(i, d) * count)).Order());
            }
        }
    }

    /// <summary>First points in two dimensions, as textbooks print them (Bratley and Fox, ACM Transactions on Mathematical Software 14, 88, 1988).</summary>
    [Fact]
    public void The_first_points_are_the_known_ones()
    {
        (float, float)[] known = [(0, 0), (0.5f, 0.5f), (0.75f, 0.25f), (0.25f, 0.75f), (0.375f, 0.375f), (0.875f, 0.875f)];
        var points = Enumerable.Range(0, 16).Select(i => (Sobol.At(i, 0), Sobol.At(i, 1))).ToHashSet();
        Assert.All(known, p => Assert.Contains(p, points));
        Assert.Equal(known[..2], Enumerable.Range(0, 2).Select(i => (Sobol.At(i, 0), Sobol.At(i, 1))));
    }

    [Fact]
    public void One_sample_is_the_middle_of_everything()
    {
        var only = Assert.Single(FrameSample.Of(1));
        Assert.Equal(new Vector2(0.5f), only.Pixel);
        Assert.Equal(Vector2.Zero, only.CameraLens);
        Assert.Equal(Vector2.Zero, only.LensOf(Rooms.Spot(Vector3.Zero, Vector3.UnitX)));
    }

    [Theory]
    [InlineData(2)]
    [InlineData(7)]
    [InlineData(16)]
    [InlineData(64)]
    public void Samples_come_in_time_and_their_means_lie_in_the_middle(int count)
    {
        var samples = FrameSample.Of(count);
        Assert.Equal(Enumerable.Range(0, count), samples.Select(s => s.Instant));
        Assert.Equal(samples, FrameSample.Of(count));
        var near = 1.2f / count;
        Assert.InRange(samples.Average(s => s.Pixel.X), 0.5f - near, 0.5f + near);
        Assert.InRange(samples.Average(s => s.Pixel.Y), 0.5f - near, 0.5f + near);
        Assert.All(samples, s => Assert.True(s.CameraLens.Length() < 1));
        Assert.True(new Vector2(samples.Average(s => s.CameraLens.X), samples.Average(s => s.CameraLens.Y)).Length() < 2 * near);
    }

    /// <summary>An edge at a from a source of diameter d throws a half-shadow d b / a wide at b behind it.</summary>
    [Theory]
    [InlineData(8, 8, 0.15f)]
    [InlineData(6, 3, 0.2f)]
    public void The_mean_over_a_lens_has_a_half_shadow_of_d_b_by_a_behind_a_mirrors_edge(float a, float behind, float diameter)
    {
        var width = diameter * behind / a;
        float Mean(float off) => FrameSample.Of(256).Average(s => Reflected(s, a, behind, diameter, off));
        var full = Mean(-width);
        Assert.Equal(0, Mean(width * 0.52f));
        Assert.InRange(Mean(width * 0.45f) / full, 0.005f, 0.06f);
        // Of a disc cut by a line through half its radius 80.4 % is left (segment: (acos t - t √(1 - t²))/π).
        Assert.InRange(Mean(-width * 0.25f) / full, 0.78f, 0.83f);
        Assert.InRange(Mean(0) / full, 0.47f, 0.53f);
        Assert.InRange(Mean(-width * 0.52f) / full, 0.99f, 1.01f);
    }

    /// <summary>A lens over a mirror of 2 m, whose edge throws its shadow at x = the edge's unfolded place plus off.</summary>
    private static float Reflected(FrameSample sample, float a, float behind, float diameter, float off)
    {
        // The lens at height a looks down at a mirror on the floor from -2 to 0, the edge at 0; what is lit hangs at the height of behind, facing down.
        var b = Rooms.Builder();
        b.Sample = sample;
        b.Begin();
        b.AddMirror(new Vector3(-1, 0, 0), Vector3.UnitZ, Vector3.UnitY, 2, 2, reflectance: 1);
        b.Add(Rooms.Spot(new Vector3(0, 0, a), Vector3.Zero, 10_000, 10, 18) with { ApertureRadius = diameter / 2 });
        var meter = new LightMeter(b.Build(TimeSpan.Zero, 1), null, MeterSettings.ClearAir);
        return meter.At(new Vector3(off, 0, behind), -Vector3.UnitZ).Reflected;
    }
}
