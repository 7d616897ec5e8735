using System.Diagnostics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Render.Tests;

namespace StageView.Benchmarks;

/// <summary>Frames on this machine's OpenGL, the haze beside a naive march in the same run, and its error against Light's reference.</summary>
public static class RenderBenchmarks
{
    private static readonly RenderSettings Hd = new() { Width = 1280, Height = 720 };

    public static IEnumerable<Figure> Run()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}");
        foreach (var beams in new[] { 10, 100, 300 })
        {
            var moment = Scenes.Stage(beams);
            var ours = Median(renderer, moment, Hd);
            var naive = Median(renderer, moment, Hd with { OwnHaze = NaiveHaze.Of(32) });
            yield return new Figure($"render.720p.{beams}beams", ours, "s", "march32", ours / naive);
        }

        // Shadows, two mirror walls seen by the camera, people and set pieces.
        foreach (var beams in new[] { 100, 300 })
        {
            var moment = Scenes.Large(beams, 0);
            var ours = Median(renderer, moment, Hd);
            var naive = Median(renderer, moment, Hd with { OwnHaze = NaiveHaze.Of(32) });
            yield return new Figure($"render.720p.{beams}beams.mirrors", ours, "s", "march32", ours / naive);
        }

        if (FirstPng() is { } first)
        {
            yield return first;
        }

        foreach (var figure in Haze(renderer))
        {
            yield return figure;
        }

        yield return Floor(renderer);
        if (!context.IsSoftware)
        {
            yield return GpuBenchmarks.Still(renderer);
        }
    }

    /// <summary>
    /// From process start to the demo's first picture, 640x360: the published build where <c>./dev publish</c> made one, else the built command. Beside the
    /// start of the command alone.
    /// </summary>
    private static Figure? FirstPng()
    {
        var published = Path.Combine("out", "publish", "stageview");
        string[] command = File.Exists(published) ? [published] : ["dotnet", Path.Combine(AppContext.BaseDirectory, "stageview.dll")];
        const string show = "scenes/foundry/foundry";
        if (!File.Exists(show + ".rig.jsonc"))
        {
            Console.WriteLine("render.first_png is left out: the demo show lies in the checkout's root");
            return null;
        }

        var png = Path.Combine("out", "bench", "first.png");
        var first = Whole([.. command, "render", show + ".rig.jsonc", "--capture", show + ".pcapng", "--at", "3.5", "--size", "640x360", "--out", png]);
        var start = Whole([.. command, "--version"]);
        return new Figure("render.first_png", first, "s", "start alone", first / start);
    }

    /// <summary>Median of five runs of a whole process, after one that warms the caches, s.</summary>
    private static double Whole(string[] command)
    {
        var times = new List<double>();
        for (var i = 0; i < 6; i++)
        {
            var start = Stopwatch.GetTimestamp();
            using var process = Process.Start(new ProcessStartInfo(command[0], command[1..]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
            process.StandardOutput.ReadToEnd();
            process.WaitForExit();
            times.Add(Stopwatch.GetElapsedTime(start).TotalSeconds);
        }

        times.RemoveAt(0);
        times.Sort();
        return times[2];
    }

    private static double Median(FrameRenderer renderer, Moment moment, RenderSettings settings)
    {
        renderer.Render(moment, Scenes.House(), settings);
        var times = new double[5];
        for (var i = 0; i < times.Length; i++)
        {
            var start = Stopwatch.GetTimestamp();
            renderer.Render(moment, Scenes.House(), settings);
            times[i] = Stopwatch.GetElapsedTime(start).TotalSeconds;
        }

        Array.Sort(times);
        return times[times.Length / 2];
    }

    private static IEnumerable<Figure> Haze(FrameRenderer renderer)
    {
        var moment = Scenes.Stage(60, mirrors: true, beamDegrees: 9, fieldDegrees: 12);
        var settings = new RenderSettings { Width = 640, Height = 360, Linear = true, Screen = false };
        var rays = References(moment, settings, 1000);
        var (p50, p95) = Errors(renderer, moment, settings, rays);
        yield return new Figure("render.haze.error_p50", p50, "share");
        yield return new Figure("render.haze.error_p95", p95, "share");

        // How long the march takes to be as right: steps doubled until its median error is no larger.
        var dark = Median(renderer, Without(moment), settings);
        var ours = Math.Max(1e-4, Median(renderer, moment, settings) - dark);
        var steps = 32;
        while (steps < 4096 && Errors(renderer, moment, settings with { OwnHaze = NaiveHaze.Of(steps) }, rays).P50 > p50)
        {
            steps *= 2;
        }

        var march = Math.Max(1e-4, Median(renderer, moment, settings with { OwnHaze = NaiveHaze.Of(steps) }) - dark);
        yield return new Figure("render.haze.equal_error", ours, "s", $"march{steps}", ours / march);
    }

    private static Moment Without(Moment moment)
    {
        var b = Scenes.Builder();
        b.Begin();
        foreach (ref readonly var s in moment.Scenery.Span)
        {
            b.Add(s);
        }

        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            b.AddMirror(mirror, moment.OutlineOf(mirror.Outline));
        }

        foreach (ref readonly var beam in moment.Beams.Span)
        {
            if (beam.Bounces == 0)
            {
                b.Add(beam);
            }
        }

        return b.Build(TimeSpan.Zero);
    }

    private static List<(int X, int Y, float Expected)> References(Moment moment, RenderSettings settings, int count)
    {
        var camera = Scenes.House();
        var scene = OcclusionScene.From(moment);
        var reference = new ReferenceRadiance(moment, scene, 1e-4);
        var random = new Random(11);
        var found = new List<(int X, int Y, float Expected)>();
        while (found.Count < count)
        {
            var (x, y) = (random.Next(settings.Width), random.Next(settings.Height));
            var d = Sight.Ray(camera, settings.Width, settings.Height, x, y);
            if (scene.Closest(camera.Position, d, 900, FixtureIndex.None, out _))
            {
                continue;
            }

            var expected = BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900));
            if (expected > 1e-3f)
            {
                found.Add((x, y, expected));
            }
        }

        return found;
    }

    private static (double P50, double P95) Errors(FrameRenderer renderer, Moment moment, RenderSettings settings, List<(int X, int Y, float Expected)> rays)
    {
        var picture = renderer.Render(moment, Scenes.House(), settings).Linear!;
        var errors = rays.Select(r => Math.Abs((picture.LuminanceAt(r.X, r.Y) / r.Expected) - 1d)).Order().ToArray();
        return (errors[errors.Length / 2], errors[errors.Length * 95 / 100]);
    }

    /// <summary>Largest error of the floor's luminance where the illuminance changes by less than 2 % a centimetre.</summary>
    private static Figure Floor(FrameRenderer renderer)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor());
        b.Add(Scenes.Spot(new(-2, -3, 6), new(0.5f, 2, 0), 10000, 20, 30));
        b.Add(Scenes.Spot(new(3, -2, 7), new(0, 3, 0), 8000, 40, 60));
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House();
        var picture = renderer.Render(moment, camera, new RenderSettings { Width = 640, Height = 360, Linear = true, Screen = false }).Linear!;
        var meter = new LightMeter(moment, null);
        var worst = 0d;
        for (var y = 0; y < 360; y += 2)
        {
            for (var x = 0; x < 640; x += 2)
            {
                var d = Sight.Ray(camera, 640, 360, x, y);
                var p = camera.Position + (d * (-camera.Position.Z / d.Z));
                if (d.Z > -0.02f || p.Length() > 19)
                {
                    continue;
                }

                float At(float dx, float dy) =>
                    BeamPhotometry.Luminance(meter.At(p + new System.Numerics.Vector3(dx, dy, 0), System.Numerics.Vector3.UnitZ).Rgb) * 0.3f / MathF.PI;
                var expected = At(0, 0);
                var edge = MathF.Abs(At(0.005f, 0) - At(-0.005f, 0)) + MathF.Abs(At(0, 0.005f) - At(0, -0.005f));
                if (expected > 0.05f && edge < 0.02f * expected)
                {
                    worst = Math.Max(worst, Math.Abs((picture.LuminanceAt(x, y) / expected) - 1d));
                }
            }
        }

        return new Figure("render.floor.error_max", worst, "share");
    }
}
