using System.Diagnostics;
using StageView.Light.Moments;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Render.Tests;

namespace StageView.Benchmarks;

/// <summary>
/// Graphics time of a large rig by the driver's timers, the read-back left out: 1920x1080, 500 beams with shadows and mirror walls, 100,000 pixels.
/// Each figure with its passes. <c>GPU_BENCH_SIZE=320x180</c> and <c>GPU_BENCH_BEAMS=40</c> make it small enough for a rasteriser on the CPU.
/// </summary>
public static class GpuBenchmarks
{
    private const int Pixels = 100_000;

    public static IEnumerable<Figure> Run()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}");
        if (context.IsSoftware && Environment.GetEnvironmentVariable("GPU_BENCH_SIZE") is null)
        {
            Console.WriteLine(
                "the gpu figures are left out: this is a rasteriser on the CPU (GPU_BENCH_SIZE=320x180 GPU_BENCH_BEAMS=40 runs them small all the same)");
            yield break;
        }

        var fragments = Measure(renderer, "by fragments (the path of OpenGL 4.1)", Hd with { Tiled = false }, false, 5);
        var still = Measure(renderer, "by tiles in compute", Hd with { Tiled = true }, false, 30);
        yield return new Figure(Name, still, "ms", "fragments", still / fragments);
        var moving = Measure(renderer, "by tiles, every beam moving, all shadows drawn anew", Hd with { Tiled = true }, true, 20);
        yield return new Figure(Name + ".moving", moving, "ms", "still", moving / still);
        var fine = Measure(renderer, "by tiles, quality Fine", Hd with { Tiled = true, Quality = RenderQuality.Fine }, false, 15);
        yield return new Figure(Name + ".fine", fine, "ms", "still", fine / still);
        var draft = Measure(renderer, "by tiles, quality Draft", Hd with { Tiled = true, Quality = RenderQuality.Draft }, false, 15);
        yield return new Figure(Name + ".draft", draft, "ms", "still", draft / still);
        yield return Apart(renderer, Scenes.House(), "");
        yield return Apart(renderer, Scenes.House() with { LensDiameter = 0.05f, FocusDistance = 12 }, ".lens");
    }

    /// <summary>The still frame's figure alone, drawn as this context draws.</summary>
    internal static Figure Still(FrameRenderer renderer) => new(Name, Measure(renderer, "on this GPU", Hd, false, 30), "ms");

    private static string Name => $"render.gpu.{Hd.Height}p.{Beams}beams";

    private static int Beams => int.Parse(Environment.GetEnvironmentVariable("GPU_BENCH_BEAMS") ?? "500", System.Globalization.CultureInfo.InvariantCulture);

    private static RenderSettings Hd
    {
        get
        {
            var size = (Environment.GetEnvironmentVariable("GPU_BENCH_SIZE") ?? "1920x1080").Split('x');
            return new RenderSettings
            {
                Width = int.Parse(size[0], System.Globalization.CultureInfo.InvariantCulture),
                Height = int.Parse(size[1], System.Globalization.CultureInfo.InvariantCulture),
            };
        }
    }

    private static double Measure(FrameRenderer renderer, string what, RenderSettings settings, bool moving, int frames)
    {
        var moment = Scenes.Large(Beams, Pixels);
        Moment[] shown = moving ? [.. Enumerable.Range(1, frames + 3).Select(i => Scenes.Large(Beams, Pixels, 1e-3f * i))] : [moment];
        var begun = Stopwatch.GetTimestamp();
        renderer.Render(shown[0], Scenes.House(), settings);
        var first = Stopwatch.GetElapsedTime(begun).TotalMilliseconds;
        Warm(renderer, moment);
        using var timer = new PassTimer(renderer.Context);
        settings = settings with { Unread = true, Watch = timer };
        var all = new List<IReadOnlyList<(string Pass, double Milliseconds)>>();
        var walls = new List<double>();
        for (var i = 0; i < frames + 3; i++)
        {
            var start = Stopwatch.GetTimestamp();
            renderer.Render(shown[i % shown.Length], Scenes.House(), settings);
            var wall = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            var passes = timer.Passes();
            if (i >= 3)
            {
                all.Add(passes);
                walls.Add(wall);
            }
        }

        double Mid(IEnumerable<double> values)
        {
            var sorted = values.Order().ToList();
            return sorted[sorted.Count / 2];
        }

        var total = Mid(all.Select(f => f.Sum(p => p.Milliseconds)));
        var told = all[0].Select(p => p.Pass).Select(name => $"{name} {Mid(all.Select(f => f.FirstOrDefault(p => p.Pass == name).Milliseconds)):F2}");
        Console.WriteLine(
            $"{what}: {total:F2} ms of graphics time, {Mid(walls):F0} ms in all, {first:F0} ms the first; {moment.Beams.Length} beams with reflected ones, "
            + $"{renderer.ShadowTilesDrawn} shadow tiles drawn");
        Console.WriteLine("  passes, ms: " + string.Join(", ", told));
        return total;
    }

    /// <summary>Half a second of heavy work: a GPU that has little to do lowers its clock, and short frames would be timed at that.</summary>
    private static void Warm(FrameRenderer renderer, Moment moment)
    {
        var start = Stopwatch.GetTimestamp();
        while (!renderer.Context.IsSoftware && Stopwatch.GetElapsedTime(start).TotalSeconds < 0.5)
        {
            renderer.Render(moment, Scenes.House(), Hd with { Tiled = false, Unread = true });
        }
    }

    /// <summary>Share of the picture where both ways differ by more than a fifth of a percent of the luminance (or of a hundredth of the mean).</summary>
    private static Figure Apart(FrameRenderer renderer, Camera camera, string of)
    {
        var moment = Scenes.Large(Beams, Pixels);
        var settings = Hd with { Linear = true };
        var fragments = renderer.Render(moment, camera, settings with { Tiled = false });
        var tiles = renderer.Render(moment, camera, settings with { Tiled = true });
        Directory.CreateDirectory("out/bench");
        PngPicture.Write($"out/bench/gpu-fragments{of}.png", fragments.Screen!);
        PngPicture.Write($"out/bench/gpu-tiles{of}.png", tiles.Screen!);
        var share = ShareApart(fragments.Linear!, tiles.Linear!, 0.002, out var worst, out var mean);
        Console.WriteLine($"tiles against fragments: worst {worst:P2}, mean luminance {mean:G3} cd/m2");
        return new Figure("render.gpu.tiles_apart" + of, share, "share");
    }

    /// <summary>Share of the picture elements that differ by more than a bound, of their luminance or of a hundredth of the mean.</summary>
    internal static double ShareApart(LinearImage one, LinearImage other, double bound, out double worst, out double mean)
    {
        mean = 0;
        for (var i = 0; i < one.Width * one.Height; i++)
        {
            mean += (double)one.LuminanceAt(i % one.Width, i / one.Width) / (one.Width * one.Height);
        }

        (var beyond, worst) = (0, 0d);
        for (var i = 0; i < one.Width * one.Height; i++)
        {
            var (a, b) = (one.LuminanceAt(i % one.Width, i / one.Width), other.LuminanceAt(i % one.Width, i / one.Width));
            var apart = Math.Abs(a - b) / Math.Max(a, 0.01 * mean);
            beyond += apart > bound ? 1 : 0;
            worst = Math.Max(worst, apart);
        }

        return (double)beyond / (one.Width * one.Height);
    }
}
