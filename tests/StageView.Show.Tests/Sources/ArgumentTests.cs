using StageView.Show.Frames;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Sources;

public sealed class ArgumentTests
{
    [Theory]
    [InlineData("0", 0)]
    [InlineData("12.5", 12.5)]
    [InlineData("1:02.5", 62.5)]
    [InlineData("1:00:00", 3600)]
    public void Clock_times(string text, double seconds)
    {
        Assert.True(ShowTime.TryParse(text, out var time));
        Assert.Equal(TimeSpan.FromSeconds(seconds), Assert.IsType<ShowTime.Clock>(time).At);
    }

    [Theory]
    [InlineData("")]
    [InlineData("-1")]
    [InlineData("1:75")]
    [InlineData("1e9")]
    [InlineData("NaN")]
    [InlineData("1:2:3:4")]
    [InlineData("cue:")]
    [InlineData("soon")]
    public void What_is_no_time_is_refused(string text) => Assert.False(ShowTime.TryParse(text, out _));

    [Fact]
    public void Cues_and_timecodes_keep_their_text()
    {
        Assert.True(ShowTime.TryParse("cue:mirror moment", out var cue));
        Assert.Equal(new ShowTime.Cue("mirror moment"), cue);
        Assert.True(ShowTime.TryParse("tc:01:02:03:04", out var tc));
        Assert.Equal(new ShowTime.Timecode("01:02:03:04"), tc);
    }

    [Theory]
    [InlineData("1280x720", 1280, 720)]
    [InlineData("64X48", 64, 48)]
    public void Sizes(string text, int w, int h)
    {
        Assert.True(FrameSize.TryParse(text, out var size));
        Assert.Equal(new FrameSize(w, h), size);
    }

    [Theory]
    [InlineData("1280")]
    [InlineData("x720")]
    [InlineData("8x8")]
    [InlineData("99999x99999")]
    [InlineData("-640x480")]
    public void What_is_no_size_is_refused(string text) => Assert.False(FrameSize.TryParse(text, out _));
}
