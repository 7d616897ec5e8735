using System.Diagnostics;
using StageView.Light.Interreflection;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>Light between the demo's matt surfaces: from nothing, and when only levels change.</summary>
public static class MattBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        const string show = "scenes/foundry/foundry";
        var rig = RigFiles.Open(show + ".rig.jsonc", null, null);
        using var source = new CaptureShow(rig, show + ".pcapng");
        foreach (var at in (double[])[3.5, 12, 16, 20])
        {
            source.FeedTo(TimeSpan.FromSeconds(at));
            var moment = source.Stage.MomentAt(TimeSpan.FromSeconds(at), default);
            var solver = new MattSolver();
            var cold = Seconds(() => solver.Solve(moment));
            var light = solver.Solve(moment);
            var warm = Enumerable.Range(0, 5).Min(_ => Seconds(() => solver.Solve(moment)));
            Console.Error.WriteLine($"{at}: beams {moment.Beams.Length} surfaces {moment.PixelSurfaces.Length} pieces {moment.Scenery.Length} "
                + $"meshes {moment.Meshes.Count} patches {light.Patches.Count} side {light.Patches.Side} rays {light.Links.RaysEach} links {light.Links.Count} "
                + $"rounds {light.Rounds} cold {cold} warm {warm}");
            foreach (var g in light.Patches.Grids.ToArray().Select((g, i) => (g, i)).Where(x => x.g is not null)
                .GroupBy(x => (moment.Scenery.Span[x.i].Kind, moment.Meshes[moment.Scenery.Span[x.i].Mesh.Value].Name)))
            {
                Console.Error.WriteLine($"   {g.Key}: {g.Count()} pieces, {g.Sum(x => x.g!.Value.Shape.Count)} patches, area "
                    + $"{g.Sum(x => Enumerable.Range(0, x.g!.Value.Shape.Count).Sum(p => x.g.Value.Shape.Area(p)))} albedo {moment.Scenery.Span[g.First().i].Albedo}");
            }
        }

        yield break;
    }

    private static double Seconds(Action what)
    {
        var before = Process.GetCurrentProcess().TotalProcessorTime;
        what();
        return (Process.GetCurrentProcess().TotalProcessorTime - before).TotalSeconds;
    }
}
