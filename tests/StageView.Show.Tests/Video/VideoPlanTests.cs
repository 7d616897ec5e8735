using StageView.Show.Video;

namespace StageView.Show.Tests.Video;

public sealed class VideoPlanTests
{
    [Theory]
    [InlineData("30", 30, 1)]
    [InlineData("29.97", 30000, 1001)]
    [InlineData("23.976", 24000, 1001)]
    [InlineData("59.94", 60000, 1001)]
    [InlineData("30000/1001", 30000, 1001)]
    [InlineData("50/2", 25, 1)]
    [InlineData("12.5", 25, 2)]
    public void Frame_rates_are_exact(string text, int n, int d)
    {
        Assert.True(FrameRate.TryParse(text, out var rate));
        Assert.Equal(new FrameRate(n, d), rate);
    }

    [Theory]
    [InlineData("0")]
    [InlineData("-30")]
    [InlineData("241")]
    [InlineData("30/0")]
    [InlineData("30/")]
    [InlineData("fast")]
    [InlineData("29.97531")]
    [InlineData("")]
    public void What_is_no_frame_rate_is_refused(string text) => Assert.False(FrameRate.TryParse(text, out _));

    [Theory]
    [InlineData("3/16", true)]
    [InlineData("16/16", true)]
    [InlineData("0/16", false)]
    [InlineData("17/16", false)]
    [InlineData("3", false)]
    [InlineData("1/20000", false)]
    [InlineData("a/b", false)]
    public void Shards_are_written_k_of_n(string text, bool good) => Assert.Equal(good, Shard.TryParse(text, out _));

    [Fact]
    public void Frame_times_do_not_drift()
    {
        // SMPTE ST 12-1: 29.97 is 30 x 1000/1001; 30,000 frames last 1,001 s to the tick.
        Assert.True(FrameRate.TryParse("29.97", out var rate));
        var plan = VideoPlan.Make(TimeSpan.FromSeconds(10), TimeSpan.FromSeconds(1011), rate, 640, 360, VideoQuality.Good, "");
        Assert.Equal(30_000, plan.Frames);
        Assert.Equal(TimeSpan.FromSeconds(10), plan.TimeOf(0));
        Assert.Equal(TimeSpan.FromSeconds(1011), plan.TimeOf(30_000));
        Assert.Equal(10 * TimeSpan.TicksPerSecond + 333_667, plan.TimeOf(1).Ticks);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(16)]
    [InlineData(400)]
    public void Shards_cover_every_frame_once(int count)
    {
        var plan = VideoPlan.Make(TimeSpan.Zero, TimeSpan.FromSeconds(301.01), new FrameRate(30, 1), 640, 360, VideoQuality.Good, "");
        var next = 0;
        for (var k = 1; k <= count; k++)
        {
            var (first, end) = plan.SegmentsOf(new Shard(k, count));
            for (var s = first; s < end; s++)
            {
                Assert.Equal(next, plan.FramesOf(s).First);
                next = plan.FramesOf(s).End;
            }
        }

        Assert.Equal(plan.Frames, next);
        Assert.Equal(9031, plan.Frames);
        Assert.Equal(plan.Frames, Enumerable.Range(1, count).Sum(k => plan.FramesOf(new Shard(k, count))));
    }

    [Fact]
    public void Spans_and_sizes_that_cannot_be_are_refused_in_words()
    {
        var back = Assert.Throws<StopException>(
            () => VideoPlan.Make(TimeSpan.FromSeconds(5), TimeSpan.FromSeconds(5), new FrameRate(30, 1), 640, 360, VideoQuality.Good, ""));
        Assert.Contains("--to 5 must lie after --from 5", back.Message, StringComparison.Ordinal);
        var odd = Assert.Throws<StopException>(
            () => VideoPlan.Make(TimeSpan.Zero, TimeSpan.FromSeconds(5), new FrameRate(30, 1), 641, 359, VideoQuality.Good, ""));
        Assert.Contains("--size 642x360", odd.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Shard_files_sort_by_number() =>
        Assert.Equal(Path.Combine("out", "show.shard-003-of-128.mp4"), VideoNames.ShardFile(Path.Combine("out", "show.mp4"), new Shard(3, 128)));
}
