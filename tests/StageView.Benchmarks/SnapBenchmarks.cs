using System.Diagnostics;
using StageView.Show.Frames;
using StageView.Show.Snap;

namespace StageView.Benchmarks;

/// <summary>Frames of the demo show drawn for a comparison, and the same again when nothing changed.</summary>
public static class SnapBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            var asked = new SnapRequest
            {
                Rig = "scenes/foundry/foundry.rig.jsonc", Capture = "scenes/foundry/foundry.pcapng", Every = 3, Size = new FrameSize(960, 540),
                Out = Path.Combine(folder, "base"),
            };
            var (drawn, frames) = Processor(() => SnapRun.Run(asked));
            var (kept, again) = Processor(() => SnapRun.Run(asked with { Against = asked.Out, Out = Path.Combine(folder, "new") }));
            var (coarse, _) = Processor(() => SnapRun.Run(asked with { Detail = "draft", Out = Path.Combine(folder, "draft") }));
            yield return new Figure("snap.frame.cpu", drawn / frames.Count, "ms", $"--detail draft {coarse / frames.Count:0} ms", drawn / coarse);
            yield return new Figure("snap.frame.unchanged.cpu", kept / again.Count, "ms");
            yield return new Figure("snapshot.unchanged.saved", 100 * (1 - (kept / drawn)), "%",
                $"{again.Count(f => f.TakenOver)} of {again.Count} frames taken over; processor time {kept / 1000:0.0} s instead of {drawn / 1000:0.0} s");
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    /// <summary>Processor time of this process, ms: what else runs on the machine doesn't count.</summary>
    private static (double Ms, IReadOnlyList<SnappedFrame> Frames) Processor(Func<IReadOnlyList<SnappedFrame>> run)
    {
        var before = Process.GetCurrentProcess().TotalProcessorTime;
        var frames = run();
        return ((Process.GetCurrentProcess().TotalProcessorTime - before).TotalMilliseconds, frames);
    }
}
