using System.Diagnostics;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>
/// Stairs: the demo's pictures at one sample a pixel, with edges as they are and shared out, beside the mean of 64, in levels of 255 over the pixels where
/// neighbours in that mean differ by 12 levels or more.
/// </summary>
public static class EdgesBenchmarks
{
    private const int Many = 64;
    private const string Capture = "scenes/foundry/foundry.pcapng";

    public static IEnumerable<Figure> Run()
    {
        using var context = EglContext.Open();
        using var renderer = new FrameRenderer(context);
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}");
        var rig = RigFiles.Open("scenes/foundry/foundry.rig.jsonc");
        using var source = SourceChoice.Open(rig, Capture, null, null);
        var settings = new RenderSettings { Width = 320, Height = 180 };
        var (plain, smooth, plainTime, smoothTime, count) = (new List<int>(), new List<int>(), 0.0, 0.0, 0);
        foreach (var cue in CueTimes.Read(Capture).Where(c => c.Camera is not null).OrderBy(c => c.Time))
        {
            source.FeedTo(cue.Time);
            var camera = FrameNames.Cameras(rig, [cue.Camera!])[0];
            var open = TimeSpan.FromSeconds(camera.ShutterSeconds);
            var right = renderer.Render(s => source.Stage.SampleAt(cue.Time, open, s), Many, camera, settings).Screen!.Rgba.ToArray();
            byte[] Of(bool shared, out double time)
            {
                var eye = camera with { SmoothEdges = shared };
                renderer.Render(source.Stage.MomentAt(cue.Time, open), eye, settings);
                var (start, worked) = (Stopwatch.GetTimestamp(), Environment.CpuUsage.TotalTime);
                var picture = renderer.Render(source.Stage.MomentAt(cue.Time, open), eye, settings).Screen!.Rgba.ToArray();
                time = context.IsSoftware ? (Environment.CpuUsage.TotalTime - worked).TotalSeconds : Stopwatch.GetElapsedTime(start).TotalSeconds;
                return picture;
            }

            plain.AddRange(Errors(Of(false, out var before), right, settings.Width));
            smooth.AddRange(Errors(Of(true, out var after), right, settings.Width));
            (plainTime, smoothTime, count) = (plainTime + before, smoothTime + after, count + 1);
        }

        var (now, was) = (new[] { At(smooth, 0.5), At(smooth, 0.95), smooth.Average() }, new[] { At(plain, 0.5), At(plain, 0.95), plain.Average() });
        string[] names = ["median", "p95", "mean"];
        for (var i = 0; i < names.Length; i++)
        {
            yield return new Figure($"render.edges.error.{names[i]}.stairs", was[i], "levels");
            yield return new Figure($"render.edges.error.{names[i]}", now[i], "levels", "stairs", was[i] > 0 ? now[i] / was[i] : 1);
        }

        yield return new Figure("render.edges.cost", smoothTime / count, "s", "stairs", smoothTime / plainTime);
    }

    private static double At(List<int> values, double share) => values.Order().ElementAt((int)(share * (values.Count - 1)));

    /// <summary>Differences of a channel at edges: where the right picture differs from the pixel to the left by 12 levels or more.</summary>
    private static IEnumerable<int> Errors(byte[] picture, byte[] right, int width)
    {
        for (var i = 4; i < right.Length; i++)
        {
            if (i % 4 != 3 && i / 4 % width != 0 && Math.Abs(right[i] - right[i - 4]) >= 12)
            {
                yield return Math.Abs(picture[i] - right[i]);
            }
        }
    }
}
