using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Sets;

namespace StageView.Snapshot.Tests.Sets;

/// <summary>Runs alone: it weighs the heap, which other tests use too.</summary>
[CollectionDefinition("alone", DisableParallelization = true)]
public sealed class Alone;

[Collection("alone")]
public sealed class LongSetTests
{
    [Fact]
    public void A_thousand_frames_take_flat_memory_and_a_stopped_run_goes_on()
    {
        using var temp = new TempFolder();
        var (before, after) = (temp["base"], temp["new"]);
        var files = Enumerable.Range(0, 41).Select(i => FrameFile.Encode(SampleFrames.Picture(i))).ToArray();
        Directory.CreateDirectory(before);
        Directory.CreateDirectory(after);
        for (var i = 0; i < 1000; i++)
        {
            File.WriteAllBytes(Path.Combine(before, $"frame {i:0000}.png"), files[i % 40]);
            File.WriteAllBytes(Path.Combine(after, $"frame {i:0000}.png"), files[(i % 40) + (i % 3 == 0 ? 1 : 0)]);
        }

        var request = new SetRequest { Base = FrameSet.Open(before), New = FrameSet.Open(after), WorkFolder = temp["work"], Parallel = 2 };
        using var stop = new CancellationTokenSource();
        Assert.Throws<OperationCanceledException>(() => SetComparison.Run(request, p => { if (p.Done == 300) { stop.Cancel(); } }, stop.Token));

        var live = new List<long>();
        var progress = new List<int>();
        var result = SetComparison.Run(request, p =>
        {
            progress.Add(p.Done);
            if (p.Done % 100 == 0)
            {
                live.Add(GC.GetTotalMemory(forceFullCollection: true));
            }
        }, TestContext.Current.CancellationToken);
        Assert.InRange(result.Resumed, 300, 320);
        Assert.Equal(1000, result.Frames.Count);
        Assert.Equal(334, result.Count(FrameVerdict.Changed));
        Assert.Equal(Enumerable.Range(1, 1000), progress);

        // A pair of these frames is 115 kB: a run that kept pictures would grow by 80 MB over the last 700.
        Assert.InRange(live[^1] - live[3], long.MinValue, 20_000_000);
    }
}
