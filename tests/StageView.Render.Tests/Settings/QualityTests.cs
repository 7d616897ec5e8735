using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Photometry;
using StageView.Light.Radiance;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Settings;

[Collection("gl")]
public sealed class QualityTests(Rendering gl, ITestOutputHelper output)
{
    // The bounds stand in docs/design/haze-quality.md.
    [Theory]
    [InlineData(RenderQuality.Draft, 0, 0.03, 0.25)]
    [InlineData(RenderQuality.Normal, 0, 0.01, 0.04)]
    [InlineData(RenderQuality.Normal, 2, 0.01, 0.2)]
    [InlineData(RenderQuality.Fine, 0, 0.003, 0.01)]
    public void Each_level_keeps_its_error_against_the_reference(RenderQuality quality, int scale, double median, double tail)
    {
        var moment = Scenes.Stage(40, beamDegrees: 9, fieldDegrees: 12);
        var settings = new RenderSettings { Width = 640, Height = 360, Linear = true, Quality = quality, HazeScale = scale };
        var camera = Scenes.House();
        var frame = gl.Renderer.Render(moment, camera, settings);
        PngPicture.Write(Path.Combine(Repo.Out("quality"), $"{quality}-{scale}.png"), frame.Screen!);
        var reference = new ReferenceRadiance(moment, null, 1e-3);
        var random = new Random(9);
        var errors = new List<double>();
        var brightest = 0f;
        for (var tries = 0; errors.Count < 400 && tries < 20_000; tries++)
        {
            var (x, y) = (random.Next(640), random.Next(360));
            var d = Sight.Ray(camera, 640, 360, x, y);
            if (d.Z < 0.001f)
            {
                continue;
            }

            var expected = BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900));
            brightest = MathF.Max(brightest, expected);
            if (expected > 0.01f * brightest)
            {
                errors.Add(Math.Abs((frame.Linear!.LuminanceAt(x, y) / expected) - 1));
            }
        }

        errors.Sort();
        var (p50, p95) = (errors[errors.Count / 2], errors[errors.Count * 95 / 100]);
        output.WriteLine($"{quality} at 1/{settings.ScaleOfHaze}: p50 {p50:P3}, p95 {p95:P2}");
        Assert.True(errors.Count > 300);
        Assert.True(p50 < median && p95 < tail, $"p50 {p50:P3}, p95 {p95:P2}");
    }

    // Lamps that shine all round, and their light after a mirror, are drawn at half the resolution.
    [Fact]
    public void Lamps_that_shine_all_round_keep_the_bounds_before_and_after_a_mirror()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Box(new Vector3(0, 12, 1.5f), new Vector3(8, 0.2f, 3)));
        b.AddMirror(new Vector3(-6, 8, 4), Vector3.Normalize(new Vector3(0.5f, -1, -0.2f)), Vector3.Normalize(new Vector3(0.1f, -0.2f, 1.25f)), 3, 2);
        foreach (var x in new[] { -3f, 0.5f, 4 })
        {
            b.Add(Scenes.Spot(new Vector3(x, 3, 4), new Vector3(x, 3, 0), 6000) with
            {
                Profile = AngularProfile.Omnidirectional,
                StartDistance = 0.2f,
                ApertureRadius = 0.2f
            });
        }

        var moment = b.Build(TimeSpan.Zero);
        Assert.Contains(moment.Beams.ToArray(), beam => beam.Bounces == 1);
        var camera = Scenes.House();
        var picture = gl.Renderer.Render(moment, camera, new RenderSettings { Width = 640, Height = 360, Linear = true, Screen = false }).Linear!;
        var reference = new ReferenceRadiance(moment, null, 1e-4);
        var random = new Random(4);
        var errors = new List<double>();
        for (var tries = 0; errors.Count < 400 && tries < 20_000; tries++)
        {
            var (x, y) = (random.Next(640), random.Next(360));
            var d = Sight.Ray(camera, 640, 360, x, y);
            // The sky alone: nothing stands before the ray.
            if (d.Z > 0.14f)
            {
                errors.Add(Math.Abs((picture.LuminanceAt(x, y) / BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900))) - 1));
            }
        }

        errors.Sort();
        output.WriteLine($"{errors.Count} rays: p50 {errors[errors.Count / 2]:P3}, p95 {errors[errors.Count * 95 / 100]:P3}");
        Assert.Equal(400, errors.Count);
        Assert.True(errors[200] < 0.01 && errors[380] < 0.04);
    }

    [Fact]
    public void Uneven_haze_drifts_with_time_alone_and_keeps_its_mean()
    {
        LinearImage At(double seconds, float unevenness)
        {
            var b = Scenes.Builder();
            b.Begin();
            b.Haze = Scenes.Air with { Unevenness = unevenness, PatchMetres = 0.7f, DriftX = 0.4f, Seed = 5 };
            b.Add(Scenes.Spot(new Vector3(-9, 2, 4), new Vector3(9, 2, 4), 20000, 12, 16));
            var frame = gl.Renderer.Render(b.Build(TimeSpan.FromSeconds(seconds)), Scenes.House(),
                new RenderSettings { Width = 480, Height = 270, Linear = true });
            PngPicture.Write(Path.Combine(Repo.Out("quality"), $"uneven-{unevenness}-{seconds}.png"), frame.Screen!);
            return frame.Linear!;
        }

        var (even, now, again, later) = (At(0, 0), At(1, 0.8f), At(1, 0.8f), At(3, 0.8f));
        Assert.Equal(now.Rgb, again.Rgb);
        Assert.NotEqual(now.Rgb, later.Rgb);
        output.WriteLine($"even {even.Rgb.Sum()}, uneven {now.Rgb.Sum()}, later {later.Rgb.Sum()}");
        Assert.InRange(now.Rgb.Sum() / even.Rgb.Sum(), 0.8, 1.25);
    }
}
