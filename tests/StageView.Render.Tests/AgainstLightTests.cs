using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>The two readings of one moment held together: pictures in cd/m² against Light's numbers.</summary>
[Collection("gl")]
public sealed class AgainstLightTests(Rendering gl, ITestOutputHelper output)
{
    private static readonly RenderSettings Small = new() { Width = 320, Height = 180, Linear = true, Screen = false };

    [Theory]
    [InlineData(10, 18, 0)]
    [InlineData(20, 22, 0)]
    [InlineData(40, 60, 0.02)]
    public void A_floor_shows_its_illuminance_over_pi_times_albedo(float beam, float field, float extinction)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(extinction, 0, 0); // absorbs only: the picture is the floor alone
        b.Add(Scenes.Floor(albedo: 0.4f));
        b.Add(Scenes.Spot(new Vector3(-2, -3, 6), new Vector3(0.5f, 2, 0), 10000, beam, field));
        b.Add(Scenes.Spot(new Vector3(3, -2, 7), new Vector3(0, 3, 0), 8000, beam, field));
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House();
        var picture = gl.Renderer.Render(moment, camera, Small).Linear!;
        var meter = new LightMeter(moment, null);
        var largest = 0f;
        var smooth = 0;
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++)
            {
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                if (d.Z > -0.01f)
                {
                    continue;
                }

                var t = -camera.Position.Z / d.Z;
                if ((camera.Position + (d * t)).Length() > 19)
                {
                    continue;
                }

                var e = meter.At(camera.Position + (d * t), Vector3.UnitZ).Rgb;
                var expected = BeamPhotometry.Luminance(e) * 0.4f / MathF.PI * MathF.Exp(-extinction * t);
                largest = MathF.Max(largest, expected);
                // "Where no edge falls": what 5 mm make is allowed on top of 1 % (Light lifts its points by 1 mm).
                float Near(float dx, float dy) =>
                    BeamPhotometry.Luminance(meter.At(camera.Position + (d * t) + new Vector3(dx, dy, 0), Vector3.UnitZ).Rgb) * 0.4f / MathF.PI;
                var edge = MathF.Abs(Near(0.005f, 0) - Near(-0.005f, 0)) + MathF.Abs(Near(0, 0.005f) - Near(0, -0.005f));
                smooth += edge < 0.02f * expected ? 1 : 0;
                Assert.True(MathF.Abs(picture.LuminanceAt(x, y) - expected) <= (0.01f * expected) + edge + 1e-3f,
                    $"pixel {x},{y}: {picture.LuminanceAt(x, y)} and not {expected} cd/m²");
            }
        }

        output.WriteLine($"brightest {largest} cd/m²");
        Assert.True(largest > 5);
        Assert.True(smooth > 50, $"only {smooth} pixels where no edge falls");
    }

    [Fact]
    public void Haze_along_a_thousand_rays_is_what_the_reference_integral_says()
    {
        var moment = Scenes.Stage(60, mirrors: true, beamDegrees: 9, fieldDegrees: 12);
        Compare(moment, 1000, 0.01, 0.04);
    }

    [Theory]
    [InlineData(10, 18)]
    [InlineData(12, 14)]
    [InlineData(30, 60)]
    public void One_beam_in_haze_is_what_the_reference_integral_says(float beam, float field)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Spot(new Vector3(-3, 2, 6), new Vector3(2, 4, 1), 10000, beam, field));
        Compare(b.Build(TimeSpan.Zero), 300, 0.01, 0.02);
    }

    [Theory]
    [InlineData(4, 4.6f)]
    [InlineData(4, 7)]
    [InlineData(19, 23)]
    public void Haze_before_a_lens_of_real_size_is_what_the_reference_integral_says(float beam, float field)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.WithLens(Scenes.Spot(new Vector3(-3, 2, 4), new Vector3(2, 4, 1), 10000, beam, field), 0.09f));
        Compare(b.Build(TimeSpan.Zero), 300, 0.01, 0.03);
    }

    [Theory]
    [InlineData(4, 4.6f, 1.2f)]
    [InlineData(4, 7, 3)]
    [InlineData(19, 23, 0.6f)]
    public void A_floor_before_a_lens_of_real_size_shows_its_illuminance(float beam, float field, float height)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor(albedo: 0.4f));
        b.Add(Scenes.WithLens(Scenes.Spot(new Vector3(0, 0, height), Vector3.Zero, 100, beam, field), 0.09f));
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House() with { Position = new Vector3(0, -1, 1), Target = Vector3.Zero, VerticalFieldRadians = 0.5f };
        var picture = gl.Renderer.Render(moment, camera, Small).Linear!;
        var meter = new LightMeter(moment, null);
        var lit = 0;
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++)
            {
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                var there = camera.Position - (d * (camera.Position.Z / d.Z));
                float At(float dx) => meter.At(there + new Vector3(dx, dx, 0), Vector3.UnitZ).Lux * 0.4f / MathF.PI;
                var edge = MathF.Abs(At(0.002f) - At(-0.002f));
                Assert.True(MathF.Abs(picture.LuminanceAt(x, y) - At(0)) <= (0.01f * At(0)) + edge + 1e-3f, $"{x},{y}: {picture.LuminanceAt(x, y)}, {At(0)}");
                lit += At(0) > 0 ? 1 : 0;
            }
        }

        Assert.True(lit > 500);
    }

    private void Compare(Moment moment, int rays, double median, double tail)
    {
        var camera = Scenes.House();
        var picture = gl.Renderer.Render(moment, camera, Small).Linear!;
        var scene = OcclusionScene.From(moment);
        var reference = new ReferenceRadiance(moment, moment.Mirrors.Length > 0 ? scene : null, 1e-4);
        var random = new Random(7);
        var errors = new List<double>();
        for (var tries = 0; errors.Count < rays && tries < 200_000; tries++)
        {
            var (x, y) = (random.Next(picture.Width), random.Next(picture.Height));
            var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
            if (scene.Closest(camera.Position, d, 900, FixtureIndex.None, out _))
            {
                continue;
            }

            var expected = BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900));
            if (expected > 1e-3f)
            {
                errors.Add(Math.Abs((picture.LuminanceAt(x, y) / expected) - 1));
            }
        }

        errors.Sort();
        output.WriteLine($"{errors.Count} rays: p50 {errors[errors.Count / 2]:P3}, p95 {errors[errors.Count * 95 / 100]:P3}, max {errors[^1]:P2}");
        Assert.Equal(rays, errors.Count);
        Assert.True(errors[rays / 2] < median);
        Assert.True(errors[rays * 95 / 100] < tail);
    }
}
