using StageView.Live.Pictures;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Pictures;

public sealed class WindowTitleTests
{
    [Fact]
    public void The_title_says_the_worst_beside_the_rig_and_what_was_clicked_and_is_handed_out_once()
    {
        var feed = new Feed();
        var title = new WindowTitle(feed);
        Assert.Equal("Tour", title.Changed());
        Assert.Null(title.Changed());
        feed.Worst = "✕ 19 of 20 universes lost";
        Assert.Equal("✕ 19 of 20 universes lost · Tour", title.Changed());
        title.Picked("Tour: Spot 1");
        Assert.Equal("✕ 19 of 20 universes lost · Tour: Spot 1", title.Changed());
        feed.Worst = "";
        Assert.Equal("Tour: Spot 1", title.Changed());
        Assert.Null(title.Changed());
    }

    private sealed class Feed : IMomentFeed
    {
        public string Name => "Tour";

        public string Worst { get; set; } = "";

        public IReadOnlyList<CameraLine> Cameras => [];

        public int Newest(ref byte[] buffer, out MomentHead head) => throw new NotSupportedException();

        public byte[] Tables(int version) => throw new NotSupportedException();

        public void WaitForChange(TimeSpan most) => throw new NotSupportedException();

        public void ShownInWindow(ShownHead shown) => throw new NotSupportedException();

        public string PickForWindow(Ray ray) => throw new NotSupportedException();
    }
}
