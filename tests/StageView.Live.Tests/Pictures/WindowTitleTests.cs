using StageView.Live.Pictures;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Pictures;

public sealed class WindowTitleTests
{
    [Fact]
    public void The_title_says_the_worst_beside_the_rig_and_what_was_clicked_and_is_handed_out_once()
    {
        var feed = new Feed();
        var title = new WindowTitle(feed, TimeProvider.System);
        Assert.Equal("● network · Tour", title.Changed());
        Assert.Null(title.Changed());
        feed.Worst = "✕ 19 of 20 universes lost";
        Assert.Equal("✕ 19 of 20 universes lost · Tour", title.Changed());
        title.Picked("Tour: Spot 1");
        Assert.Equal("✕ 19 of 20 universes lost · Tour: Spot 1", title.Changed());
        feed.Worst = "";
        Assert.Equal("● network · Tour: Spot 1", title.Changed());
        Assert.Null(title.Changed());
    }

    [Fact]
    public void Timecode_stands_first_and_makes_no_more_than_five_titles_a_second()
    {
        var (feed, clock) = (new Feed { Timecode = "01:00:00:00" }, new ManualTime());
        var title = new WindowTitle(feed, clock);
        Assert.Equal("01:00:00:00 · ● network · Tour", title.Changed());
        feed.Timecode = "01:00:00:01";
        Assert.Null(title.Changed());
        feed.Worst = "capture show.pcapng";
        Assert.Equal("01:00:00:01 · capture show.pcapng · Tour", title.Changed());
        feed.Timecode = "01:00:00:02";
        clock.Advance(TimeSpan.FromMilliseconds(199));
        Assert.Null(title.Changed());
        clock.Advance(TimeSpan.FromMilliseconds(2));
        Assert.Equal("01:00:00:02 · capture show.pcapng · Tour", title.Changed());
    }

    [Fact]
    public void A_line_of_words_is_no_wider_than_its_room_and_can_be_seen()
    {
        var (shortLine, longLine) = (WindowWords.Paint("network", 20, 800, whole: false), WindowWords.Paint(new string('w', 400), 20, 800, whole: false));
        Assert.InRange(shortLine.Width, 60, 150);
        Assert.InRange(longLine.Width, 760, 800);
        Assert.Equal(800, WindowWords.Paint("network", 20, 800, whole: true).Width);
        Assert.Contains(shortLine.Rgba.Chunk(4), p => p[0] > 200);
        Assert.Contains(shortLine.Rgba.Chunk(4), p => p[0] < 40);
    }

    private sealed class ManualTime : TimeProvider
    {
        private long _now = 1;

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => _now;

        public void Advance(TimeSpan by) => _now += by.Ticks;
    }

    private sealed class Feed : IMomentFeed
    {
        public string Name => "Tour";

        public string Worst { get; set; } = "";

        public string? Timecode { get; set; }

        public IReadOnlyList<CameraLine> Cameras => [];

        public int Newest(ref byte[] buffer, out MomentHead head) => throw new NotSupportedException();

        public byte[] Tables(int version) => throw new NotSupportedException();

        public void WaitForChange(TimeSpan most) => throw new NotSupportedException();

        public void ShownInWindow(ShownHead shown) => throw new NotSupportedException();

        public string PickForWindow(Ray ray) => throw new NotSupportedException();
    }
}
