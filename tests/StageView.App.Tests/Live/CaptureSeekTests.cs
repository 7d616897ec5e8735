using System.Diagnostics;
using System.Text.Json;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Tests.Live;

/// <summary>A capture that is open in a live show is read as the verbs read it: by its index, its cues and its timecode.</summary>
public sealed class CaptureSeekTests : IDisposable
{
    private const string Capture = "foundry.pcapng";
    private readonly RigCopy _copy = new("foundry");
    private readonly NightJournal _journal = new(TimeProvider.System);

    private string File => Path.Combine(_copy.Folder, Capture);

    public void Dispose() => _copy.Dispose();

    [Fact]
    public async Task A_cue_is_found_by_its_name_and_shows_the_levels_that_the_verbs_find_there()
    {
        using var show = Start();
        Assert.Equal("no capture is open", show.SeekTo("cue:furnace").Text);
        Assert.True(show.Open(Capture).Ok);
        await Measured(show);
        var cues = show.State().Capture!.Cues;
        Assert.Contains(("furnace", 30.2), cues.Select(c => (c.Name, c.Seconds)));
        Assert.Equal(cues.Select(c => c.Seconds).Order(), cues.Select(c => c.Seconds));
        Assert.Contains("has no cue named nothing", show.SeekTo("cue:nothing").Text, StringComparison.Ordinal);
        Assert.Contains("isn't in", show.SeekTo("tc:09:00:00:00").Text, StringComparison.Ordinal);
        Assert.Contains("is no time", show.SeekTo("soon").Text, StringComparison.Ordinal);

        var answer = show.SeekTo("cue:furnace");
        Assert.True(answer.Ok, answer.Text);
        using var played = new CaptureShow(RigFiles.Open(_copy.File), File);
        await AssertShows(show, played, 30.2);

        // Back to a time before the one that was jumped to, and then a little on.
        Assert.True(show.Seek(12.6).Ok);
        using var again = new CaptureShow(RigFiles.Open(_copy.File), File);
        await AssertShows(show, again, 12.6);
        Assert.True(show.Seek(13.1).Ok);
        await AssertShows(show, again, 13.1);
    }

    [Fact]
    public async Task The_index_of_a_capture_lies_beside_it_and_is_no_capture_on_the_shelf()
    {
        using var show = Start();
        Assert.True(show.Open(Capture).Ok);
        await Measured(show);
        Assert.True(System.IO.File.Exists(File + ".index"));
        var shelf = JsonSerializer.SerializeToElement(show.Shelves().Data, LiveJson.Options).GetProperty("captures").EnumerateArray().ToList();
        var line = Assert.Single(shelf);
        Assert.Equal(Capture, line.GetProperty("name").GetString());
        Assert.Equal(show.State().Capture!.Length, line.GetProperty("seconds").GetDouble());
    }

    [Fact]
    public async Task A_rig_that_is_saved_goes_on_at_the_same_place_of_the_capture()
    {
        using var show = Start();
        Assert.True(show.Open(Capture).Ok);
        Assert.True(show.Seek(18.5).Ok);
        var version = show.Rig.Version;
        await System.IO.File.AppendAllTextAsync(_copy.File, "\n", TestContext.Current.CancellationToken);
        await Becomes(() => show.Rig.Version > version);
        using var played = new CaptureShow(RigFiles.Open(_copy.File), File);
        await AssertShows(show, played, 18.5);
    }

    // The capture is taken away and a pipe put in its place, which holds whoever opens it until someone writes.
    [Fact]
    public async Task While_a_place_is_sought_on_a_slow_disk_the_picture_goes_on()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "a named pipe is needed");
        using var show = Start();
        Assert.True(show.Open(Capture).Ok);
        await Measured(show);
        System.IO.File.Delete(File);
        using (var made = Process.Start("mkfifo", [File]))
        {
            await made.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        var seeking = Task.Run(() => show.Seek(30), TestContext.Current.CancellationToken);
        var drawn = Task.Run(
            async () =>
            {
                byte[] buffer = [];
                var length = 0;
                for (var i = 0; i < 20; i++)
                {
                    length = show.Newest(ref buffer, out _);
                    await Task.Delay(10, TestContext.Current.CancellationToken);
                }

                return length;
            },
            TestContext.Current.CancellationToken);
        var first = await Task.WhenAny(drawn, seeking, Task.Delay(TimeSpan.FromSeconds(30), TestContext.Current.CancellationToken));
        var held = !seeking.IsCompleted;

        // Let through, it is no capture any more: the seek is refused and what was shown stays.
        await System.IO.File.WriteAllTextAsync(File, "no capture", TestContext.Current.CancellationToken);
        Assert.False((await seeking).Ok);
        Assert.Same(drawn, first);
        Assert.True(held);
        Assert.True(await drawn > 0);
        Assert.Equal(0, show.State().Capture!.Position);
    }

    private static async Task AssertShows(LiveShow show, CaptureShow played, double seconds)
    {
        // A state is told for a fifth of a second.
        await Task.Delay(250, TestContext.Current.CancellationToken);
        Assert.Equal(seconds, show.State().Capture!.Position);
        played.FeedTo(TimeSpan.FromSeconds(seconds));
        var checkedLevels = 0;
        foreach (var name in new[] { "down head 1", "front 1", "laser", "panel 1" }.Where(n => played.Stage.Rig.Fixtures.Any(f => f.Name == n)))
        {
            var card = (FixtureCard)show.Fixture(name).Data!;
            var state = played.Stage.StateOf(played.Stage.Rig.Fixtures.First(f => f.Name == name).Index, TimeSpan.FromSeconds(seconds));
            Assert.Equal(state.Attributes.Select(a => (a.Channel, (long)a.Raw)), card.Channels.Select(c => (c.Name, c.Raw)));
            checkedLevels += state.Attributes.Count(a => !a.IsDefault);
        }

        Assert.True(checkedLevels > 10);
    }

    private LiveShow Start() => new(
        new LiveShowOptions
        {
            RigFile = _copy.File,
            Recordings = Path.Combine(_copy.Folder, "recordings"),
            Looks = _copy.Folder,
            LookAtFiles = TimeSpan.FromMilliseconds(40),
            E131Port = FreePort.Udp(),
            ArtNetPort = FreePort.Udp(),
        },
        _journal,
        TimeProvider.System);

    private static async Task Measured(LiveShow show) =>
        await Becomes(() => JsonSerializer.SerializeToElement(show.Shelves().Data, LiveJson.Options).GetProperty("captures")[0].TryGetProperty("seconds",
            out _));

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
