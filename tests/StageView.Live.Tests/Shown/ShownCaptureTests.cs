using System.Diagnostics;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Shown;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Live.Tests.Shown;

/// <summary>A capture that plays while nobody looks, or on a disk that gives nothing: whoever asks is answered at once.</summary>
public sealed class ShownCaptureTests : IDisposable
{
    private readonly RigCopy _copy = new("foundry");
    private readonly FakeTimeProvider _clock = new();
    private readonly TaskCompletionSource _measured = new(TaskCreationOptions.RunContinuationsAsynchronously);

    private string File => Path.Combine(_copy.Folder, "foundry.pcapng");

    public void Dispose() => _copy.Dispose();

    [Fact]
    public async Task What_was_played_on_without_a_look_is_caught_up_with_beside_the_stage()
    {
        using var shown = await Open();
        shown.Play(true, 1);
        _clock.Advance(TimeSpan.FromSeconds(30.2));

        // The first look reads nothing of the half minute, and still gets what was shown.
        Assert.InRange(At(shown), 0, 2);
        shown.Play(false, 1);
        await Becomes(() => At(shown) > 30);
        Assert.Equal(30.2, At(shown), 6);
        using var played = new CaptureShow(shown.Rig, File);
        played.FeedTo(TimeSpan.FromSeconds(30.2));
        Assert.Equal(Raw(played.Stage, 30.2), shown.Read(now => Raw(now.Model, now.At.TotalSeconds)));
    }

    // The capture is taken away and a pipe put in its place, which holds whoever opens it until someone writes.
    [Fact]
    public async Task A_disk_that_gives_nothing_holds_up_neither_the_stage_nor_who_asks_for_it()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "a named pipe is needed");
        using var shown = await Open();
        shown.Play(true, 8);
        System.IO.File.Delete(File);
        using (var made = Process.Start("mkfifo", [File]))
        {
            await made.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        _clock.Advance(TimeSpan.FromSeconds(4));
        for (var i = 0; i < 5; i++)
        {
            var look = Task.Run(() => At(shown), TestContext.Current.CancellationToken);
            Assert.Same(look, await Task.WhenAny(look, Task.Delay(TimeSpan.FromMinutes(1), TestContext.Current.CancellationToken)));
            Assert.InRange(await look, 0, 2);
        }

        // Let through, it is no capture any more: it stands where it was shown last.
        await Becomes(() =>
        {
            // Again and again: whoever opens it after the others is held anew. Opened both ways a pipe holds nobody up.
            using (var pipe = new FileStream(File, FileMode.Open, FileAccess.ReadWrite, FileShare.ReadWrite, 1))
            {
                pipe.Write("no capture"u8);
            }

            return shown.Source().Capture is { Playing: false };
        });
        Assert.InRange(shown.Source().Seconds, 0, 2);
    }

    private static List<long> Raw(Stage.StageModel stage, double seconds) =>
        [.. stage.Rig.Fixtures.SelectMany(f => stage.StateOf(f.Index, TimeSpan.FromSeconds(seconds)).Attributes).Select(a => (long)a.Raw)];

    private static double At(ShownStage shown) => shown.Read(now => now.At.TotalSeconds);

    private async Task<ShownStage> Open()
    {
        var shown = new ShownStage(RigFiles.Open(_copy.File), 1, new LevelsDesk(_clock, () => { }), _clock, (_, _) => _measured.TrySetResult(),
            new ContentParts(_clock, 0, () => null, () => { }, null));
        shown.Show(new ShownFile("foundry.pcapng", File, null));
        await _measured.Task.WaitAsync(TimeSpan.FromMinutes(2), TestContext.Current.CancellationToken);
        return shown;
    }

    private static async Task Becomes(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(2), "it never came about");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
