using System.Diagnostics;
using System.Globalization;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>
/// What a moving picture costs on this machine, as <c>live</c> draws it for a page: the demo's whole show from its house camera, 640 pixels wide, in
/// processor time of this process, so that other work on the machine doesn't count. Pictures a second are those of two cores. Each way is measured in turn.
/// </summary>
public static class MovingBenchmarks
{
    private static readonly double[] Times = [6.5, 13.2, 18, 25, 31];

    public static IEnumerable<Figure> Run()
    {
        var scene = Path.Combine(LiveDemo.Root(), "scenes", "foundry", "foundry");
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        context.Enter();
        Console.WriteLine($"renderer: {context.Renderer}, {context.DriverVersion}");
        context.Leave();
        using var show = new CaptureShow(RigFiles.Open(scene + ".rig.jsonc"), scene + ".pcapng");
        show.FeedTo(TimeSpan.FromSeconds(40));
        var camera = show.Stage.Rig.Cameras.First(c => c.Name == "house");
        var settings = new RenderSettings { Width = 640, Height = 360, WorkLightLux = Viewpoint.Start.WorkLux };
        var (before, now) = (settings with { Quality = RenderQuality.Draft }, settings with { Quality = RenderQuality.Draft, Coarse = true });
        Spent(show, renderer, camera, before, null);
        Spent(show, renderer, camera, now, null);
        foreach (var (name, how) in new[] { ("moving", now), ("draft", before) })
        {
            var watch = new CpuWatch();
            Spent(show, renderer, camera, how, watch);
            Console.WriteLine($"  {name}, processor ms a picture: " + string.Join(", ", watch.Spent.Select(s =>
                string.Create(CultureInfo.InvariantCulture, $"{s.Key} {s.Value * 1000 / Times.Length:F1}"))));
        }

        var (old, fresh) = (new List<double>(), new List<double>());
        for (var turn = 0; turn < 2; turn++)
        {
            old.Add(Spent(show, renderer, camera, before, null));
            fresh.Add(Spent(show, renderer, camera, now, null));
        }

        yield return new Figure("live.moving", 2 / Middle(fresh), "pictures/s", "the draft", Middle(old) / Middle(fresh));
        foreach (var figure in Apart(show, renderer, camera, now, settings))
        {
            yield return figure;
        }
    }

    /// <summary>The pictures that move beside those at rest, all moments together; both are written to <c>out/bench/moving</c>.</summary>
    private static IEnumerable<Figure> Apart(CaptureShow show, FrameRenderer renderer, Camera camera, RenderSettings moving, RenderSettings rest)
    {
        var (apart, light, whole) = (new List<double>(), 0.0, 0.0);
        var folder = Directory.CreateDirectory(Path.Combine("out", "bench", "moving")).FullName;
        foreach (var time in Times)
        {
            var moment = show.Stage.MomentAt(TimeSpan.FromSeconds(time), TimeSpan.FromSeconds(.02));
            var one = renderer.Render(moment, camera, moving with { Linear = true });
            var other = renderer.Render(moment, camera, rest with { Linear = true });
            PngPicture.Write(Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"{time:F1}-moving.png")), one.Screen!);
            PngPicture.Write(Path.Combine(folder, string.Create(CultureInfo.InvariantCulture, $"{time:F1}-rest.png")), other.Screen!);
            apart.AddRange(one.Screen!.Rgba.Zip(other.Screen!.Rgba, (a, b) => Math.Abs(a - b) / 255.0).Where((_, i) => i % 4 != 3));
            var (sum, all) = (one.Linear!.Rgb.Sum(v => (double)v), other.Linear!.Rgb.Sum(v => (double)v));
            (light, whole) = (light + sum, whole + all);
        }

        apart.Sort();
        yield return new Figure("live.moving.mean", apart.Average(), "of full scale");
        yield return new Figure("live.moving.p95", apart[apart.Count * 95 / 100], "of full scale");
        yield return new Figure("live.moving.light", light / whole, "of it at rest");
    }

    private static double Middle(List<double> all) => all.Order().ElementAt(all.Count / 2);

    /// <summary>Processor seconds a picture.</summary>
    private static double Spent(CaptureShow show, FrameRenderer renderer, Camera camera, RenderSettings settings, CpuWatch? watch)
    {
        var (spent, drawn) = (0.0, 0);
        foreach (var time in Times)
        {
            for (var i = 0; i < 2; i++)
            {
                var at = TimeSpan.FromSeconds(time + (.1 * i));
                var moment = show.Stage.MomentAt(at, TimeSpan.FromSeconds(.02));
                var from = Cpu();
                renderer.Render(moment, camera, settings with { Watch = i > 0 ? watch : null });
                // The first has the shadows of another scene.
                (spent, drawn) = i > 0 ? (spent + Cpu() - from, drawn + 1) : (spent, drawn);
            }
        }

        return spent / drawn;
    }

    private static double Cpu()
    {
        using var own = Process.GetCurrentProcess();
        return own.TotalProcessorTime.TotalSeconds;
    }

    /// <summary>Processor time by pass, each waited for.</summary>
    private sealed class CpuWatch : IFrameWatch
    {
        private GL? _gl;
        private string _pass = "";
        private double _from;

        public Dictionary<string, double> Spent { get; } = [];

        public void Start(GL gl)
        {
            _gl = gl;
            (_pass, _from) = ("prepare", Cpu());
        }

        public void Begin(string pass, bool mirrored = false)
        {
            Close();
            _pass = (mirrored ? "mirrored " : "") + pass;
        }

        public void End()
        {
            Close();
            _pass = "between";
        }

        public void Step(string step)
        {
        }

        private void Close()
        {
            _gl!.Finish();
            var now = Cpu();
            Spent[_pass] = Spent.GetValueOrDefault(_pass) + now - _from;
            _from = now;
        }
    }
}
