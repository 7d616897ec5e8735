using System.Diagnostics;
using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Show.Questions;

namespace StageView.Show.Tests.Content;

/// <summary>Pictures that come in live, through ffmpeg's own sources and a stream on this machine.</summary>
public sealed class LiveInputTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    [Fact]
    public void A_picture_comes_in_and_newer_ones_take_its_place()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        // 25 pictures a second in real time, each a step lighter, for as long as anybody looks.
        using var input = new LiveInput(new ContentInput("lavfi", "color=black:s=32x18:r=25,geq=lum='mod(16+N*2,220)':cb=128:cr=128,realtime", 32, 18, 0));
        Assert.True(input.Await(Patience), input.State.Why);
        Assert.False(input.State.IsLost);
        var seen = new HashSet<float>();
        Assert.True(SpinWait.SpinUntil(
            () => input.FrameAt(TimeSpan.Zero, false) is { } image && seen.Add(image.Mean(0, 0, 1, 1).Y) && seen.Count > 3, Patience));
        Assert.Equal(1, input.State.Starts);
    }

    [Fact]
    public void What_is_lost_is_told_shows_nothing_and_is_started_anew()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        var clock = new LaterClock();
        // Three pictures, then the reader ends; it is started again and gives three more.
        using var input = new LiveInput(new ContentInput("lavfi", "color=white:s=16x16:r=25:d=0.12", 16, 16, 0), clock);
        Assert.True(input.Await(Patience), input.State.Why);
        Assert.Equal(1, input.FrameAt(TimeSpan.Zero, false)!.Mean(0, 0, 1, 1).Y, .02f);
        Assert.True(SpinWait.SpinUntil(() => input.State is { Starts: > 1, Why.Length: > 0 }, Patience));
        input.Dispose();
        clock.Later = LiveInput.LostAfter + TimeSpan.FromSeconds(1);
        Assert.True(input.State.IsLost);
        Assert.Null(input.FrameAt(TimeSpan.Zero, false));
    }

    [Fact]
    public void A_stream_on_the_network_comes_in()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        var port = FreePort.Udp();
        using var input = new LiveInput(new ContentInput("", $"udp://127.0.0.1:{port}", 32, 32, 0));
        using Process sender = Tools.Start("ffmpeg", "-v", "error", "-nostdin", "-re", "-f", "lavfi", "-i", "color=red:s=64x64:r=25", "-c:v", "mpeg2video",
            "-g", "5", "-f", "mpegts", $"udp://127.0.0.1:{port}?pkt_size=1316");
        try
        {
            Assert.True(input.Await(Patience), input.State.Why);
            var red = input.FrameAt(TimeSpan.Zero, false)!.Mean(0, 0, 1, 1);
            Assert.True(red.X > .8f && red.Y < .05f, $"{red}");
        }
        finally
        {
            sender.Kill();
        }
    }

    [Fact]
    public void Questions_about_light_see_what_comes_in_when_inputs_are_opened()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        var port = FreePort.Udp();
        using var folder = new TempFolder();
        folder.File("strip.fixture.jsonc", """
            {
              "name": "Strip",
              "geometry": [{ "name": "face", "pixels": { "columns": 4, "rows": 1, "size": [1, 0.1], "luminance": 1000 } }],
              "modes": [{ "name": "Pixels", "channels": [], "pixels": [{ "geometry": "face" }] }]
            }
            """);
        var rig = folder.File("a.rig.jsonc", $$"""
            {
              "hangs": [{ "name": "strip", "profile": "strip", "at": [0, 0, 4] }],
              "content": [
                { "name": "c", "input": { "address": "udp://127.0.0.1:{{port}}", "width": 32, "height": 32 }, "corner": [-2, -2, 4], "across": [4, 0, 0],
                  "down": [0, 4, 0], "luminance": 800, "facingAway": "mirrored" }
              ]
            }
            """);
        using Process sender = Tools.Start("ffmpeg", "-v", "error", "-nostdin", "-re", "-f", "lavfi", "-i", "color=red:s=64x64:r=25", "-c:v", "mpeg2video",
            "-g", "5", "-f", "mpegts", $"udp://127.0.0.1:{port}?pkt_size=1316");
        try
        {
            using var opened = LightQuestion.Open(new LightAsked { Rig = rig, Inputs = true });
            var content = Assert.Single(opened.Source.Stage.Content);
            Assert.True(((LiveInput)content.Frames).Await(Patience));
            Assert.True(opened.Moment().Pixels.Span[0].X > 500);
        }
        finally
        {
            sender.Kill();
        }

        using var closed = LightQuestion.Open(new LightAsked { Rig = rig });
        Assert.Equal(0, closed.Moment().Pixels.Span[0].X);
        Assert.Equal(["content \"c\" is not shown: it is a live input, and those are opened only with --inputs"], closed.Source.Doubts);
    }

    [Fact]
    public void A_stream_may_not_read_files_of_this_machine()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        using var folder = new TempFolder();
        using var input = new LiveInput(new ContentInput("", folder.File("secret.png", "not for streams"), 16, 16, 0));
        Assert.True(SpinWait.SpinUntil(() => input.State.Why.Length > 0, Patience));
        Assert.Equal(0, input.State.Frames);
        Assert.True(input.State.IsLost);
    }

    [Fact]
    public void Without_ffmpeg_it_says_what_to_install()
    {
        using var input = new LiveInput(new ContentInput("", "udp://127.0.0.1:9", 16, 16, 0), program: "no-such-program");
        Assert.True(SpinWait.SpinUntil(() => input.State.Why.Contains("install ffmpeg", StringComparison.Ordinal), Patience));
    }

    /// <summary>The machine's clock, put on.</summary>
    private sealed class LaterClock : TimeProvider
    {
        public TimeSpan Later { get; set; }

        public override long GetTimestamp() => base.GetTimestamp() + (long)(Later.TotalSeconds * TimestampFrequency);
    }
}
