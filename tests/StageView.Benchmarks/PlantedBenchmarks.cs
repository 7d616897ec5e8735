using System.Text;
using StageView.Benchmarks.Planted;
using StageView.Show.Frames;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Why;

namespace StageView.Benchmarks;

/// <summary>Thirty changes planted into copies of the demo: is each seen, and is it named first?</summary>
public static class PlantedBenchmarks
{
    private static readonly FrameSize _size = new(320, 180);

    /// <summary>A row for each change, for the page.</summary>
    public static string Table { get; private set; } = "";

    public static IEnumerable<Figure> Run()
    {
        var folder = Directory.CreateTempSubdirectory("stageview-bench-").FullName;
        try
        {
            return Run(folder);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static List<Figure> Run(string folder)
    {
        var original = new PlantedShow(Path.Combine(folder, "original"), null, null);
        var bases = Plantings.All.GroupBy(p => p.At == Plantings.CueFrames ? p.At : p.Camera)
            .ToDictionary(g => g.Key, g => original.Snap($"base {g.Key}", [.. g.Select(p => p.At).Distinct()], g.First().Camera, _size, null));
        var text = new StringBuilder("| planted | verdict | baselines of another renderer | first cause |\n| --- | --- | --- | --- |\n");
        var (caught, other, silent) = (0, 0, new List<string>());
        foreach (var (planting, i) in Plantings.All.Select((p, i) => (p, i)))
        {
            var before = bases[planting.At == Plantings.CueFrames ? planting.At : planting.Camera];
            var show = new PlantedShow(Path.Combine(folder, $"{i:00}"), planting, original);
            var after = show.Snap("frames", [planting.At], planting.Camera, _size, before);
            var result = Compare(before, after, null);
            var lenient = Compare(before, after, new TolerancePart { Renderer = RendererMatch.Other });
            caught += result.IsDifference ? 1 : 0;
            other += lenient.IsDifference ? 1 : 0;
            if (!lenient.IsDifference)
            {
                silent.Add(planting.Name);
            }

            var frame = result.Frames.FirstOrDefault(f => f.Verdict == FrameVerdict.Changed);
            var cause = (frame is not null && CauseFold.Of(frame.Causes) is [var first, ..] ? first : result.Causes is [var whole, ..] ? whole : null)?.Text ?? "**none**";
            text.Append($"| {planting.Name} | {Verdict(result, frame)} | {(lenient.IsDifference ? "caught" : "**passed**")} | {cause.Replace("|", "\\|", StringComparison.Ordinal)} |\n");
            Console.Error.WriteLine($"{planting.Name}: {Verdict(result, frame)}; {string.Join(" // ", frame?.Causes.Take(3).Select(FrameWords.Say) ?? [])}");
        }

        text.Append("\n| ways of drawing, seven frames each | as of one renderer | as of another |\n| --- | --- | --- |\n");
        var (pairs, passed) = (0, 0);
        foreach (var (ways, same, lenientWays) in RendererWays.Compare(folder))
        {
            (pairs, passed) = (pairs + 1, passed + (lenientWays.IsDifference ? 0 : 1));
            text.Append($"| {ways} | {same.Summary()} | {lenientWays.Summary()}{Worst(lenientWays)} |\n");
            Console.Error.WriteLine($"{ways}: {same.Summary()}{Worst(same)}; as another {lenientWays.Summary()}{Worst(lenientWays)}");
        }

        Table = text.ToString();
        return
        [
            new Figure("planted.caught", caught, "changes", $"{Plantings.All.Count} planted", (double)caught / Plantings.All.Count),
            new Figure("planted.caught.other_renderer", other, "changes", silent.Count == 0 ? "all" : "all but " + string.Join(", ", silent),
                (double)other / Plantings.All.Count),
            new Figure("planted.ways.passed", passed, "pairs of ways", $"{pairs} pairs of ways", (double)passed / pairs),
        ];
    }

    /// <summary>Only what both hold, but for a run through all cues.</summary>
    private static SetResult Compare(string before, string after, TolerancePart? asked)
    {
        var (old, now) = (FrameSet.Open(before), FrameSet.Open(after));
        return SetComparison.Run(new SetRequest { Base = old, New = now, Asked = asked, Part = true });
    }

    private static string Worst(SetResult result) => result.Frames.Where(f => f.IsDifference).MaxBy(f => f.ChangedShare) is { } worst
        ? $"; {worst.Name} {FrameWords.Say(worst)}" : "";

    private static string Verdict(SetResult result, FrameResult? frame) => result.Frames.Count > 1 ? result.Summary()
        : frame is not null ? FrameWords.Say(frame) : FrameWords.Say(result.Frames[0]);
}
