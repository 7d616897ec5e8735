using Microsoft.Extensions.Time.Testing;
using SkiaSharp;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Clock;

namespace StageView.Live.Tests.Shown;

/// <summary>Content over the pixels of the stage that is shown, read beside it.</summary>
public sealed class ShownContentTests : IDisposable
{
    private static readonly string Foundry = Path.Combine(Repo.Root, "scenes", "foundry", "foundry.pcapng");
    private readonly TempFolder _folder = new();
    private readonly FakeTimeProvider _clock = new();
    private readonly TaskCompletionSource _measured = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private Timecode? _heard;

    public void Dispose() => _folder.Dispose();

    // The capture carries timecode from 01:00:00:00 on. What the verbs show at a time is worked out by the same rig without a desk.
    [Fact]
    public async Task A_capture_at_rest_comes_to_rest_on_the_frame_that_the_commands_show()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        Tools.RunIn(_folder.Path, "ffmpeg", "-v", "error", "-nostdin", "-f", "lavfi", "-i", "color=black:s=16x16:r=20:d=2,geq=lum='16+N*5':cb=128:cr=128",
            "-c:v", "libx264", "-crf", "10", "-g", "12", "-pix_fmt", "yuv420p", "clip.mp4");
        var rig = Rig("""{ "name": "c", "file": "clip.mp4", "map": "strip", "luminance": 800, "start": "tc:01:00:02:00", "repeat": true }""");
        using var shown = Open(rig);
        shown.Show(new ShownFile("foundry.pcapng", Foundry, null));
        await _measured.Task.WaitAsync(TimeSpan.FromMinutes(2), TestContext.Current.CancellationToken);
        using var verbs = SourceChoice.Open(rig, Foundry, null, null);
        foreach (var at in new[] { 3.3, 2.2, 5.9, 2.9 })
        {
            shown.Seek(at);
            verbs.FeedTo(TimeSpan.FromSeconds(at));
            var right = verbs.Stage.MomentAt(TimeSpan.FromSeconds(at)).Pixels.Span[0].X;
            Assert.True(right > 1);
            await Becomes(() => Light(shown) == right);
        }

        shown.Seek(1);
        Assert.Equal(0, Light(shown));
        Assert.Equal(new ContentLine("c", "by map strip", "waits", null, "starts at 01:00:02:00"), shown.Content()[0]);
        shown.Seek(3.7);
        Assert.Equal(new ContentLine("c", "by map strip", "runs", 1, null), shown.Content()[0]);
    }

    [Fact]
    public async Task Under_the_network_content_follows_the_timecode_that_is_heard_or_runs_from_when_the_show_began()
    {
        White("white.png");
        using var shown = Open(Rig(
            """{ "name": "tc", "file": "white.png", "map": "strip", "luminance": 500, "start": "tc:01:00:02:00", "fixtures": ["strip"] }""",
            """{ "name": "clock", "file": "white.png", "map": "strip", "luminance": 800, "start": 60 }"""));
        Assert.Equal(0, Light(shown));
        Assert.Equal(
            [new ContentLine("tc", "by map strip onto strip", "waits", null, "starts at 01:00:02:00; no timecode is heard"),
                new ContentLine("clock", "by map strip", "waits", null, "starts at 1:00")],
            shown.Content());
        Hear("01:00:01:24");
        Assert.Equal("starts at 01:00:02:00", shown.Content()[0].Why);
        Assert.Equal(0, Light(shown));
        Hear("01:00:02:00");
        await Becomes(() => Light(shown) == 500);
        Assert.Equal("runs", shown.Content()[0].State);
        _clock.Advance(TimeSpan.FromSeconds(61));
        await Becomes(() => Light(shown) == 800);

        // A page of its own, taken later, shows the same.
        _clock.Advance(TimeSpan.FromSeconds(10));
        using var later = Open(shown.Rig);
        await Becomes(() => Light(later) == 800);

        // Without the levels' rig there is nothing to lie on; with it back it goes on.
        Assert.Equal("", shown.Follow(Rig()));
        Assert.Equal(0, Light(shown));
        Assert.Equal("", shown.Follow(later.Rig));
        await Becomes(() => Light(shown) == 800);
    }

    [Fact]
    public async Task A_file_that_is_missing_is_one_line_and_shows_once_it_is_there_and_an_input_is_opened_only_when_asked()
    {
        var journal = new NightJournal(TimeProvider.System);
        var rig = Rig("""{ "name": "c", "file": "white.png", "map": "strip", "luminance": 800 }""",
            """{ "name": "camera", "input": { "address": "udp://127.0.0.1:9" }, "map": "strip", "luminance": 800 }""");
        using var show = new LiveShow(
            new LiveShowOptions
            {
                RigFile = rig.File, Recordings = _folder.Path, Looks = _folder.Path, LookAtFiles = TimeSpan.FromMilliseconds(40),
                E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(),
            },
            journal, TimeProvider.System);
        int Says(string text) => journal.Newest(100).Count(e => e.Kind == "content" && e.Text.Contains(text, StringComparison.Ordinal));
        await Becomes(() => show.State().Content?[0] is { State: "lost" } lost && lost.Why!.Contains("white.png does not exist", StringComparison.Ordinal));
        await Becomes(() => Says("\"c\" shows nothing:") > 0);
        Assert.Equal("closed", show.State().Content![1].State);
        Assert.Equal(1, Says("\"camera\" shows nothing: live inputs are opened by live --inputs"));
        White("white.png");
        await Becomes(() => show.State().Content![0].State == "runs");
        await Becomes(() => Says("\"c\" can be read again") > 0);
        Assert.Equal(1, Says("\"c\" shows nothing:"));
    }

    [Fact]
    public async Task A_live_input_is_opened_once_for_all_and_what_is_wrong_with_it_is_told()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        var inputs = new LiveInputs(TimeProvider.System);
        var input = new ContentInput("lavfi", "color=white:s=16x16:r=25,realtime", 16, 16, 0);
        var (one, two) = (inputs.Take(input), inputs.Take(input));
        Assert.Same(one, two);
        inputs.Leave(input);
        Assert.True(one.Await(TimeSpan.FromSeconds(60)));
        inputs.Leave(input);
        Assert.NotSame(one, inputs.Take(input));
        inputs.Leave(input);

        // A stream may read no file of this machine, and says so.
        var rig = Rig("""{ "name": "camera", "input": { "address": "file:white.png" }, "map": "strip", "luminance": 800 }""");
        using var shown = Open(rig, inputs);
        await Becomes(() => shown.Content()[0] is { State: "lost" } lost
            && lost.Why!.StartsWith("no picture comes from file:white.png: ", StringComparison.Ordinal));
    }

    private ShownStage Open(RigScene rig, LiveInputs? inputs = null) => new(
        rig, 1, new LevelsDesk(_clock, () => { }), _clock, (_, _) => _measured.TrySetResult(),
        new ContentParts(_clock, _began, () => _heard, () => { }, inputs));

    private readonly long _began = new FakeTimeProvider().GetTimestamp();

    private void Hear(string label)
    {
        Assert.True(Timecode.TryParse(label, TimecodeRate.Ebu25, out var heard));
        _heard = heard;
    }

    private static float Light(ShownStage shown) => shown.Read(now => now.Model.MomentAt(now.At).Pixels.Span[0].X);

    private RigScene Rig(params string[] content)
    {
        _folder.File("strip.fixture.jsonc", """
            {
              "name": "Strip",
              "geometry": [{ "name": "face", "pixels": { "columns": 4, "rows": 1, "size": [1, 0.1], "luminance": 1000 } }],
              "modes": [{ "name": "Pixels", "channels": [], "pixels": [{ "geometry": "face" }] }]
            }
            """);
        return RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
            {
              "hangs": [{ "name": "strip", "profile": "strip", "at": [0, 0, 4] }],
              "maps": [{ "name": "strip", "kind": "grid", "fixtures": ["strip"], "columns": 1, "rows": 1 }],
              "content": [{{string.Join(", ", content)}}]
            }
            """));
    }

    private void White(string name)
    {
        using var white = new SKBitmap(1, 1);
        white.SetPixel(0, 0, SKColors.White);
        using (var file = File.Create(_folder[name + ".new"]))
        {
            white.Encode(file, SKEncodedImageFormat.Png, 100);
        }

        File.Move(_folder[name + ".new"], _folder[name], overwrite: true);
    }

    private static async Task Becomes(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1), "it never came about");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
