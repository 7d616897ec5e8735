using System.Diagnostics;
using StageView.Light.Sampling;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>
/// The demo's moments as pictures of 640x360: what soft edges cost beside the same beams out of points, and how far the mean of N samples lies from one of
/// many more, in levels of 255 over the pixels where neighbours differ (edges) and over all.
/// </summary>
public static class SamplesBenchmarks
{
    private const int Many = 512;

    private static readonly (double Seconds, string Camera)[] Moments = [(3.5, "house"), (12.6, "house"), (18.5, "mirror moment")];

    public static IEnumerable<Figure> Run()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}");
        var rig = RigFiles.Open("scenes/foundry/foundry.rig.jsonc");
        using var source = SourceChoice.Open(rig, "scenes/foundry/foundry.pcapng", null, null);
        source.FeedTo(TimeSpan.FromSeconds(36));
        var settings = new RenderSettings { Width = 640, Height = 360 };
        var costs = new List<(double Soft, double Hard)>();
        foreach (var (seconds, name) in Moments)
        {
            var camera = FrameNames.Cameras(rig, [name])[0];
            var (at, open) = (TimeSpan.FromSeconds(seconds), TimeSpan.FromSeconds(camera.ShutterSeconds));
            // A sample's lenses are points; this one is looked at from the middle of everything.
            var points = FrameSample.Of(2)[1] with { Pixel = new(0.5f), CameraLens = default };
            costs.Add((Median(context.IsSoftware, () => renderer.Render(source.Stage.MomentAt(at, open), camera, settings)),
                Median(context.IsSoftware, () => renderer.Render(source.Stage.SampleAt(at, open, points), camera, settings))));
        }

        var (soft, hard) = (costs.Sum(c => c.Soft), costs.Sum(c => c.Hard));
        yield return new Figure("render.soft.cost", soft / costs.Count, "s", "points", soft / hard);
        var errors = new Dictionary<int, List<(double Edges, double All)>>();
        var small = settings with { Width = 320, Height = 180 };
        foreach (var (seconds, name) in Moments)
        {
            var camera = FrameNames.Cameras(rig, [name])[0];
            var (at, open) = (TimeSpan.FromSeconds(seconds), TimeSpan.FromSeconds(camera.ShutterSeconds));
            byte[] Of(int n) => (n == 1
                ? renderer.Render(source.Stage.MomentAt(at, open), camera, small)
                : renderer.Render(s => source.Stage.SampleAt(at, open, s), n, camera, small)).Screen!.Rgba;
            var right = Of(Many).ToArray();
            foreach (var n in (int[])[1, 4, 16, 64])
            {
                (errors.TryGetValue(n, out var list) ? list : errors[n] = []).Add(Errors(Of(n), right, small.Width));
            }
        }

        foreach (var (n, list) in errors)
        {
            yield return new Figure($"render.samples.edges.{n}", list.Average(e => e.Edges), "levels");
            yield return new Figure($"render.samples.all.{n}", list.Average(e => e.All), "levels");
        }
    }

    /// <summary>Root mean square of the differences, levels: where the right picture differs from the pixel to the left by 12 levels or more, and
    /// everywhere.</summary>
    private static (double Edges, double All) Errors(byte[] picture, byte[] right, int width)
    {
        double edges = 0, all = 0;
        long atEdges = 0, count = 0;
        for (var i = 4; i < right.Length; i++)
        {
            if (i % 4 == 3 || i / 4 % width == 0)
            {
                continue;
            }

            double off = picture[i] - right[i];
            var edge = Math.Abs(right[i] - right[i - 4]) >= 12;
            (all, count) = (all + (off * off), count + 1);
            (edges, atEdges) = edge ? (edges + (off * off), atEdges + 1) : (edges, atEdges);
        }

        return (Math.Sqrt(edges / Math.Max(1, atEdges)), Math.Sqrt(all / count));
    }

    private static double Median(bool software, Func<RenderedFrame> draw)
    {
        draw();
        var times = new double[7];
        for (var i = 0; i < times.Length; i++)
        {
            // Processor time where the processor draws: it hardly depends on what else the machine does.
            var (start, worked) = (Stopwatch.GetTimestamp(), Environment.CpuUsage.TotalTime);
            draw();
            times[i] = software ? (Environment.CpuUsage.TotalTime - worked).TotalSeconds : Stopwatch.GetElapsedTime(start).TotalSeconds;
        }

        Array.Sort(times);
        return times[times.Length / 2];
    }
}
