using System.Diagnostics;
using System.Runtime.InteropServices;
using StageView.Benchmarks.Light;
using StageView.Ground.Indices;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Rays;

namespace StageView.Benchmarks;

/// <summary>Grids of illuminance and shadow rays. What is compared and how is in the README beside this file.</summary>
public static unsafe class LightBenchmarks
{
    private const string InnerRun = "STAGEVIEW_BENCH_LIGHT_INNER";

    public static IEnumerable<Figure> Run()
    {
        var mesh = GridCase.Mesh();
        var moment = GridCase.Moment(mesh);
        var scene = OcclusionScene.From(moment);
        if (Environment.GetEnvironmentVariable(InnerRun) is not null)
        {
            // Emulated vectors are some hundred times slower: a fiftieth of the rays, picked evenly, tells as much.
            var few = GridCase.Rays(moment).Where((_, i) => i / 512 % 50 == 0).ToArray();
            yield return new Figure("light.grid.shadow_rays", Rate(few, part => Blocked(scene, part)).Rate, "rays/s");
            yield break;
        }

        var grid = Seconds(() => GridMeter.Measure(new LightMeter(moment, scene), GridCase.Grid, new Quantity(QuantityKind.Plane)));
        yield return new Figure("light.grid.rate", (double)GridCase.Grid.Count * GridCase.Beams / grid, "points*beams/s");

        var rays = GridCase.Rays(moment);
        using var embree = Embree.Build(mesh, 1);
        if (embree is null)
        {
            Console.Error.WriteLine("bench: libembree3 isn't installed (Debian: libembree3-3): shadow rays are measured alone");
            yield return new Figure("light.grid.shadow_rays", Rate(rays, part => Blocked(scene, part)).Rate, "rays/s");
            yield break;
        }

        // In turn, so that what else the machine does meets all three.
        (double Rate, int Blocked) ours = default, single = default, stream = default;
        for (var round = 0; round < 3; round++)
        {
            ours = Better(ours, Rate(rays, part => Blocked(scene, part)));
            single = Better(single, Rate(rays, part => Count(part, embree, stream: false)));
            stream = Better(stream, Rate(rays, part => Count(part, embree, stream: true)));
        }

        if (Math.Abs(single.Blocked - ours.Blocked) > rays.Length / 1000)
        {
            Console.Error.WriteLine($"bench: {ours.Blocked} rays blocked against Embree's {single.Blocked} of {rays.Length}");
        }

        yield return new Figure("light.grid.vs_embree", ours.Rate, "rays/s", "embree, one ray a call", ours.Rate / single.Rate);
        yield return new Figure("light.grid.vs_embree_stream", ours.Rate, "rays/s", "embree, coherent stream", ours.Rate / stream.Rate);
        foreach (var (name, setting) in new[] { ("128", "DOTNET_EnableAVX"), ("none", "DOTNET_EnableHWIntrinsic") })
        {
            if (Inner(setting) is { } rate)
            {
                yield return new Figure($"light.grid.simd_{name}", rate, "rays/s", "all vector instructions", rate / ours.Rate);
            }
        }
    }

    private static (double Rate, int Blocked) Better((double Rate, int Blocked) a, (double Rate, int Blocked) b) => a.Rate > b.Rate ? a : b;

    private static int Blocked(OcclusionScene scene, Span<Embree.Ray> rays)
    {
        var blocked = 0;
        foreach (ref readonly var r in rays)
        {
            blocked += scene.Blocked(r.Origin, r.Origin + r.Direction, FixtureIndex.None) ? 1 : 0;
        }

        return blocked;
    }

    private static int Count(Span<Embree.Ray> rays, Embree embree, bool stream)
    {
        // Embree marks a blocked ray by its far end and wants 16-byte alignment, so it works on a copy; copying is a small part of the time.
        var copy = (Embree.Ray*)NativeMemory.AlignedAlloc((nuint)(rays.Length * sizeof(Embree.Ray)), 64);
        rays.CopyTo(new Span<Embree.Ray>(copy, rays.Length));
        if (stream)
        {
            embree.Stream(copy, rays.Length);
        }
        else
        {
            embree.Single(copy, rays.Length);
        }

        var blocked = 0;
        for (var i = 0; i < rays.Length; i++)
        {
            blocked += copy[i].Far < 0 ? 1 : 0;
        }

        NativeMemory.AlignedFree(copy);
        return blocked;
    }

    /// <summary>Best of three runs on two threads, after one to warm up.</summary>
    private static (double Rate, int Blocked) Rate(Embree.Ray[] rays, Func<Span<Embree.Ray>, int> trace)
    {
        const int chunk = 8192;
        var blocked = 0;
        void Once()
        {
            blocked = 0;
            Parallel.For(0, (rays.Length + chunk - 1) / chunk, new ParallelOptions { MaxDegreeOfParallelism = 2 }, part =>
            {
                var n = trace(rays.AsSpan(part * chunk, Math.Min(chunk, rays.Length - (part * chunk))));
                Interlocked.Add(ref blocked, n);
            });
        }

        return (rays.Length / Seconds(Once), blocked);
    }

    private static double Seconds(Action once)
    {
        once();
        var times = new double[3];
        for (var i = 0; i < times.Length; i++)
        {
            var clock = Stopwatch.StartNew();
            once();
            times[i] = clock.Elapsed.TotalSeconds;
        }

        return times.Min();
    }

    /// <summary>The same rays in a second process with vector instructions turned off.</summary>
    private static double? Inner(string setting)
    {
        var start = new ProcessStartInfo("dotnet", [typeof(LightBenchmarks).Assembly.Location, "light"])
        {
            RedirectStandardOutput = true,
            WorkingDirectory = Directory.CreateTempSubdirectory("stageview-bench").FullName,
        };
        start.Environment[setting] = "0";
        start.Environment[InnerRun] = "1";
        using var process = Process.Start(start)!;
        var text = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        Directory.Delete(start.WorkingDirectory, true);
        foreach (var line in text.Split('\n'))
        {
            if (line.StartsWith('{') && line.Contains("shadow_rays", StringComparison.Ordinal))
            {
                return System.Text.Json.JsonDocument.Parse(line).RootElement.GetProperty("value").GetDouble();
            }
        }

        return null;
    }
}
