using System.Diagnostics;
using StageView.Light.Interreflection;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>Light between the demo's matt surfaces: from nothing, when only levels change, and when heads have moved on; the worst of four moments.</summary>
public static class MattBenchmarks
{
    private const string Show = "scenes/foundry/foundry";
    private static readonly TimeSpan Later = TimeSpan.FromSeconds(.04);

    public static IEnumerable<Figure> Run()
    {
        var rig = RigFiles.Open(Show + ".rig.jsonc", null, null);
        double first = 0, cold = 0, levels = 0, moved = 0, patches = 0, links = 0;
        foreach (var at in (double[])[3.5, 12, 16, 20])
        {
            using var source = new CaptureShow(rig, Show + ".pcapng");
            var time = TimeSpan.FromSeconds(at);
            source.FeedTo(time);
            var moment = source.Stage.MomentAt(time, default);
            first = first > 0 ? first : Seconds(() => new MattSolver().Solve(moment));
            var solver = new MattSolver();
            MattLight? light = null;
            cold = Math.Max(cold, Seconds(() => light = solver.Solve(moment)));
            // Nothing is kept of a solution: the same levels cost what others do.
            levels = Math.Max(levels, Enumerable.Range(0, 41).Select(_ => Seconds(() => solver.Solve(moment))).Order().ElementAt(20));
            (patches, links) = (Math.Max(patches, light!.Patches.Count), Math.Max(links, light.Links.Count));
            source.FeedTo(time + Later);
            moment = source.Stage.MomentAt(time + Later, default);
            moved = Math.Max(moved, Seconds(() => solver.Solve(moment)));
        }

        yield return new Figure("matt.first", first, "s CPU");
        yield return new Figure("matt.cold", cold, "s CPU", "3 s", cold / 3);
        yield return new Figure("matt.levels", 1000 * levels, "ms CPU", "40 ms", levels / .04);
        yield return new Figure("matt.moved", 1000 * moved, "ms CPU");
        yield return new Figure("matt.patches", patches, "1");
        yield return new Figure("matt.links", links, "1");
    }

    private static double Seconds(Action what)
    {
        using var process = Process.GetCurrentProcess();
        var before = process.TotalProcessorTime;
        what();
        process.Refresh();
        return (process.TotalProcessorTime - before).TotalSeconds;
    }
}
