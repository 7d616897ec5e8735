using System.Diagnostics;
using System.Globalization;
using StageView.Light.Moments;
using StageView.Live.Pictures;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;

namespace StageView.Benchmarks;

/// <summary>
/// Where the time between a packet and its picture goes in <c>live</c>: the demo's moment made, sent as bytes, read, prepared, its
/// calls made, and drawn pass by pass by the driver's timers; medians over moving frames. Front lights moving, or the mirror moment (<c>.show</c>), as
/// <see cref="LiveBenchmarks"/> has it.
/// </summary>
public static class FrameBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        context.Enter();
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}; tells of a lost context: {(context.TellsLoss ? "yes" : "no")}");
        context.Leave();
        var frames = context.IsSoftware ? 1 : 60;
        foreach (var load in new[] { "fronts", "show" })
        {
            using var demo = new LiveDemo(load == "show");
            foreach (var (width, height, of) in new[] { (1280, 720, "window"), (640, 360, "page") })
            {
                yield return Measure(demo.Show, renderer, width, height, frames, $"frame.{of}" + (load == "show" ? ".show" : ""));
            }

            if (context.Version >= 43)
            {
                yield return Apart(demo.Show, renderer, "frame.tiles_apart" + (load == "show" ? ".show" : ""));
            }
        }
    }

    private static Figure Measure(LiveShow show, FrameRenderer renderer, int width, int height, int frames, string name)
    {
        var settings = new RenderSettings { Width = width, Height = height, Quality = RenderQuality.Draft, WorkLightLux = Viewpoint.Start.WorkLux };
        var camera = new OrbitCamera();
        camera.Use(show.Cameras[0]);
        var (seen, buffer) = (camera.ToView(width, height).ToCamera(), Array.Empty<byte>());
        var tables = MomentBytes.ReadTables(show.Tables(1));
        var steps = new Dictionary<string, List<double>>();
        var passes = new Dictionary<string, List<double>>();
        var walls = new List<double>();
        var tiles = new List<double>();
        var last = 0UL;
        using var timer = new PassTimer(renderer.Context);
        for (var i = -4; i < 2 * frames;)
        {
            var from = Stopwatch.GetTimestamp();
            var length = show.Newest(ref buffer, out var head);
            var made = Stopwatch.GetElapsedTime(from).TotalMilliseconds;
            if (head.Fingerprint == last)
            {
                show.WaitForChange(TimeSpan.FromMilliseconds(5));
                continue;
            }

            last = head.Fingerprint;
            from = Stopwatch.GetTimestamp();
            var moment = MomentBytes.Read(buffer.AsSpan(0, length), tables);
            var read = Stopwatch.GetElapsedTime(from).TotalMilliseconds;
            from = Stopwatch.GetTimestamp();
            // In turn by the timers, which wait for each pass, and as a window has it.
            var timed = i % 2 == 0;
            renderer.Render(moment, seen, settings with { Watch = timed ? timer : null, Unread = true });
            var drawn = Stopwatch.GetElapsedTime(from).TotalMilliseconds;
            var (told, spent) = timed ? (timer.Steps(), timer.Passes()) : ([], []);
            if (++i <= 0)
            {
                continue;
            }

            Note(steps, "the moment made", made);
            Note(steps, "and read", read);
            if (!timed)
            {
                walls.Add(drawn);
                continue;
            }

            tiles.Add(renderer.ShadowTilesDrawn);
            foreach (var (step, ms) in told)
            {
                Note(steps, step, ms);
            }

            foreach (var (pass, ms) in spent)
            {
                Note(passes, pass, ms);
            }
        }

        Console.WriteLine($"{name}, {width}x{height}: {Mid(walls):F1} ms a frame drawn, {Mid(tiles)} shadow tiles anew, {buffer.Length / 1024} KB a moment");
        Console.WriteLine("  processor, ms: " + Told(steps));
        Console.WriteLine("  passes, ms: " + Told(passes));
        return new Figure(name, Mid(walls), "ms", "its graphics time", Mid(walls) / passes.Values.Sum(Mid));
    }

    /// <summary>
    /// Share of the picture where tiles and fragments differ by more than a fifth of a percent of the luminance (or of a hundredth of the mean): all the demo's
    /// panels at a time, on this machine's driver.
    /// </summary>
    private static Figure Apart(LiveShow show, FrameRenderer renderer, string name)
    {
        const int width = 1280, height = 720;
        var camera = new OrbitCamera();
        camera.Use(show.Cameras[0]);
        var buffer = Array.Empty<byte>();
        var length = show.Newest(ref buffer, out _);
        var moment = MomentBytes.Read(buffer.AsSpan(0, length), MomentBytes.ReadTables(show.Tables(1)));
        var settings = new RenderSettings { Width = width, Height = height, HazeScale = 1, Linear = true };
        var fragments = renderer.Render(moment, camera.ToView(width, height).ToCamera(), settings with { Tiled = false });
        // Twice: what a first frame leaves behind must not matter to a second.
        renderer.Render(moment, camera.ToView(width, height).ToCamera(), settings with { Tiled = true });
        var tiles = renderer.Render(moment, camera.ToView(width, height).ToCamera(), settings with { Tiled = true });
        return new Figure(name, GpuBenchmarks.ShareApart(fragments.Linear!, tiles.Linear!, 0.002, out _, out _), "share");
    }

    private static void Note(Dictionary<string, List<double>> all, string name, double ms)
    {
        if (!all.TryGetValue(name, out var list))
        {
            all[name] = list = [];
        }

        list.Add(ms);
    }

    private static double Mid(List<double> values) => values.Order().ElementAt(values.Count / 2);

    private static string Told(Dictionary<string, List<double>> all) =>
        string.Join(", ", all.Select(s => string.Create(CultureInfo.InvariantCulture, $"{s.Key} {Mid(s.Value):F2}")))
        + string.Create(CultureInfo.InvariantCulture, $"; together {all.Values.Sum(Mid):F1}");
}
