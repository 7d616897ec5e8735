using StageView.Render.Output;
using StageView.Show.Video;

namespace StageView.Show.Tests.Video;

public sealed class VideoRenderTests : IDisposable
{
    private const int Width = 64;
    private const int Height = 48;
    private static readonly FrameRate Thirty = new(30, 1);
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-video-").FullName;

    public VideoRenderTests()
    {
        Tools.Need("ffmpeg", "ffmpeg");
        Tools.Need("ffprobe", "ffmpeg");
    }

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task A_lossless_video_holds_the_frames_of_the_source()
    {
        var plan = Plan(1.5, VideoQuality.Lossless);
        var file = await Render(plan, Shard.Whole, "show.mkv");
        var decoded = Tools.Bytes("ffmpeg", "-v", "error", "-i", file, "-f", "rawvideo", "-pix_fmt", "rgba", "-");
        Assert.Equal(45, plan.Frames);
        Assert.Equal(45 * Width * Height * 4, decoded.Length);
        for (var i = 0; i < 45; i++)
        {
            Assert.True(decoded.AsSpan(i * Width * Height * 4, Width * Height * 4).SequenceEqual(Frame(plan.TimeOf(i)).Rgba), $"frame {i} differs");
        }

        Assert.Equal("30/1\n1.500000",
            Tools.Run("ffprobe", "-v", "error", "-show_entries", "stream=r_frame_rate:format=duration", "-of", "csv=p=0", file).Trim());
        Assert.Equal([file], Directory.GetFileSystemEntries(_folder));
    }

    [Theory]
    [InlineData(2)]
    [InlineData(5)]
    public async Task Shards_joined_are_the_video_rendered_in_one_go(int shards)
    {
        // 7.3 s are 219 frames, 4 segments: the last is short, and of 5 shards one is empty.
        var plan = Plan(7.3, VideoQuality.Good);
        var whole = await Render(plan, Shard.Whole, "whole.mp4");
        for (var k = shards; k >= 1; k--)
        {
            await Render(plan, new Shard(k, shards), "show.mp4");
        }

        var (count, frames) = await new ShardJoin(new Ffmpeg()).RunAsync(Path.Combine(_folder, "show.mp4"), [], Stop);
        Assert.Equal((Math.Min(shards, 4), 219), (count, frames));
        Assert.Equal(FrameSums(whole), FrameSums(Path.Combine(_folder, "show.mp4")));
        Assert.Equal(219, FrameSums(whole).Length);
    }

    [Fact]
    public async Task A_stopped_render_goes_on_with_the_segments_it_has()
    {
        var plan = Plan(5, VideoQuality.Good);
        var asked = new List<TimeSpan>();
        using var cancel = new CancellationTokenSource();
        PixelImage Stopping(TimeSpan at)
        {
            asked.Add(at);
            if (asked.Count == 100)
            {
                cancel.Cancel();
            }

            return Frame(at);
        }

        var file = Path.Combine(_folder, "show.mp4");
        await Assert.ThrowsAnyAsync<OperationCanceledException>(
            () => new VideoRender(Stopping, new Ffmpeg(), TimeProvider.System).RunAsync(plan, Shard.Whole, file, null, cancel.Token));
        Assert.False(File.Exists(file));

        asked.Clear();
        var said = new List<VideoProgress>();
        PixelImage Plain(TimeSpan at)
        {
            asked.Add(at);
            return Frame(at);
        }

        await new VideoRender(Plain, new Ffmpeg(), TimeProvider.System).RunAsync(plan, Shard.Whole, file, said.Add, Stop);
        Assert.Equal(90, asked.Count);
        Assert.Equal(TimeSpan.FromSeconds(2), asked[0]);
        Assert.Equal(new VideoProgress(60, 150, 60, null), said[0]);
        Assert.Equal((150, 150), (said[^1].Done, said[^1].Total));
        Assert.Equal(FrameSums(await Render(plan, Shard.Whole, "whole.mp4")), FrameSums(file));
    }

    [Fact]
    public async Task A_folder_of_another_render_is_refused_by_name()
    {
        var plan = Plan(3, VideoQuality.Good);
        var parts = Directory.CreateDirectory(Path.Combine(_folder, "show.mp4.parts")).FullName;
        VideoManifest.Of(plan with { Rate = new FrameRate(25, 1) }, Shard.Whole).Write(Path.Combine(parts, "render.json"));
        var e = await Assert.ThrowsAsync<StopException>(() => Render(plan, Shard.Whole, "show.mp4"));
        Assert.Contains("show.mp4.parts holds segments of another render (25 frames/s, not 30)", e.Message, StringComparison.Ordinal);
        Assert.Equal(StopKind.WrongQuestion, e.Kind);
    }

    [Fact]
    public async Task A_finished_shard_is_not_rendered_again()
    {
        var plan = Plan(4, VideoQuality.Good);
        var file = await Render(plan, new Shard(2, 2), "show.mp4");
        var again = await new VideoRender(_ => throw new InvalidOperationException("asked for a frame"), new Ffmpeg(), TimeProvider.System)
            .RunAsync(plan, new Shard(2, 2), Path.Combine(_folder, "show.mp4"), null, Stop);
        Assert.Equal(file, again);
    }

    [Fact]
    public async Task Join_names_what_is_wrong()
    {
        var plan = Plan(6, VideoQuality.Good);
        var video = Path.Combine(_folder, "show.mp4");
        var join = new ShardJoin(new Ffmpeg());
        Task<StopException> Refused(params string[] shards) => Assert.ThrowsAsync<StopException>(() => join.RunAsync(video, shards, Stop));

        Assert.Contains("no shards lie beside", (await Refused()).Message, StringComparison.Ordinal);
        var first = await Render(plan, new Shard(1, 3), "show.mp4");
        var third = await Render(plan, new Shard(3, 3), "show.mp4");
        Assert.Contains("1 of 3 shards are missing (2)", (await Refused()).Message, StringComparison.Ordinal);

        var other = Path.Combine(_folder, "other.mp4");
        await Render(plan with { Source = "another rig" }, new Shard(2, 3), "other.mp4");
        Assert.Contains("another rig, capture, camera or options", (await Refused(first, third, VideoNames.ShardFile(other, new Shard(2, 3)))).Message,
            StringComparison.Ordinal);

        var second = await Render(plan, new Shard(2, 3), "show.mp4");
        Assert.Contains("shard 1/3 is there twice", (await Refused(first, first, second, third)).Message, StringComparison.Ordinal);

        var json = VideoNames.Manifest(second);
        var said = File.ReadAllText(json);
        File.WriteAllText(json, said[..50]);
        Assert.Contains("can't be read", (await Refused()).Message, StringComparison.Ordinal);
        File.Delete(json);
        Assert.Contains("has no description beside it", (await Refused()).Message, StringComparison.Ordinal);
        File.WriteAllText(json, said);

        Assert.Equal((3, 180), await join.RunAsync(video, [], Stop));
        File.Copy(first, second, overwrite: true);
        Assert.Contains("is not what was rendered as shard 2/3", (await Refused()).Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Without_ffmpeg_it_says_what_to_install()
    {
        var render = new VideoRender(Frame, new Ffmpeg("no-such-encoder"), TimeProvider.System);
        var e = await Assert.ThrowsAsync<StopException>(
            () => render.RunAsync(Plan(1, VideoQuality.Good), Shard.Whole, Path.Combine(_folder, "show.mp4"), null, Stop));
        Assert.Equal(StopKind.MachineCannot, e.Kind);
        Assert.Contains("apt-get install ffmpeg", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task An_encoder_that_gives_up_is_quoted()
    {
        var render = new VideoRender(Frame, new Ffmpeg(), TimeProvider.System);
        var missing = Path.Combine(_folder, "show.mp4");
        var plan = Plan(3, VideoQuality.Good);
        var parts = Directory.CreateDirectory(missing + ".parts").FullName;
        Directory.CreateDirectory(Path.Combine(parts, "segment-000000.mp4.part"));
        var e = await Assert.ThrowsAsync<StopException>(() => render.RunAsync(plan, Shard.Whole, missing, null, Stop));
        Assert.Contains("ffmpeg gave up", e.Message, StringComparison.Ordinal);
        Assert.Contains("Is a directory", e.Message, StringComparison.Ordinal);
    }

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    private static VideoPlan Plan(double seconds, VideoQuality quality) =>
        VideoPlan.Make(TimeSpan.Zero, TimeSpan.FromSeconds(seconds), Thirty, Width, Height, quality, "synthetic");

    private async Task<string> Render(VideoPlan plan, Shard shard, string name) =>
        await new VideoRender(Frame, new Ffmpeg(), TimeProvider.System).RunAsync(plan, shard, Path.Combine(_folder, name), null, Stop) ?? "";

    /// <summary>A picture that is different at every time.</summary>
    private static PixelImage Frame(TimeSpan at)
    {
        var image = new PixelImage(Width, Height);
        var n = (int)(at.Ticks / 333_333);
        for (var i = 0; i < Width * Height; i++)
        {
            var (x, y) = (i % Width, i / Width);
            image.Rgba[i * 4] = (byte)((x * 4) + n);
            image.Rgba[(i * 4) + 1] = (byte)(y * 5);
            image.Rgba[(i * 4) + 2] = (byte)((x - (n % Width)) is 0 or 1 ? 255 : 20);
            image.Rgba[(i * 4) + 3] = 255;
        }

        return image;
    }

    private static string[] FrameSums(string file) =>
        [.. Tools.Run("ffmpeg", "-v", "error", "-i", file, "-map", "0:v", "-f", "framemd5", "-")
            .Split('\n').Where(l => l.Length > 0 && l[0] != '#')];
}
