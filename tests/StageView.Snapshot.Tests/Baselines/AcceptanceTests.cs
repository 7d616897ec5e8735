using Microsoft.Extensions.Time.Testing;
using StageView.Snapshot.Baselines;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Tests.Sets;

namespace StageView.Snapshot.Tests.Baselines;

public sealed class AcceptanceTests : IDisposable
{
    private readonly TempFolder _temp = new();
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2031, 5, 4, 3, 2, 1, TimeSpan.Zero));

    private string Base => _temp["base"];

    private string New => _temp["new"];

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void Only_the_frames_named_are_taken_and_it_is_written_who_and_what()
    {
        foreach (var name in new[] { "a", "b" })
        {
            SampleFrames.Save(Base, SampleFrames.Sidecar(name), SampleFrames.Picture(1));
            SampleFrames.Save(New, SampleFrames.Sidecar(name) with { Capture = new FileStamp("b.pcapng", new string('c', 64)) }, SampleFrames.Picture(2));
        }

        Assert.Equal(["a: replaced"], Accept("a"));
        var frames = FrameSet.Open(Base).Frames;
        var taken = frames["a"].ReadSidecar()!;
        Assert.Equal(PixelHash.Of(SampleFrames.Picture(2)).Text, taken.Pixels);
        Assert.Equal(
            new AcceptRecord("the tester", "new focus", _clock.GetUtcNow(), PixelHash.Of(SampleFrames.Picture(1)).Text, new string('a', 64),
                new string('b', 64)),
            taken.Accepted);
        Assert.Equal(new string('c', 64), taken.Capture!.Sha256);
        Assert.Equal(PixelHash.Of(SampleFrames.Picture(1)).Text, frames["b"].ReadSidecar()!.Pixels);
        Assert.Null(frames["b"].ReadSidecar()!.Accepted);
    }

    [Fact]
    public void Another_renderer_is_refused_unless_told_and_then_nothing_was_written()
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("a") with { Driver = "driver 2" }, SampleFrames.Picture(2));
        SampleFrames.Save(New, SampleFrames.Sidecar("new one"), SampleFrames.Picture(2));
        var e = Assert.Throws<SnapshotException>(() => Accept("new one", "a"));
        Assert.Contains("'software rasteriser 1, driver 2'", e.Message, StringComparison.Ordinal);
        Assert.Equal(["a"], FrameSet.Open(Base).Frames.Keys);
        Assert.Equal(["a: replaced", "new one: added"], new Acceptance(_clock).Take(Request(["a", "new one"]) with { OtherRenderer = true }));
    }

    [Fact]
    public void A_frame_that_is_gone_is_removed_and_pictures_nobody_names_are_swept()
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        SampleFrames.Save(Base, SampleFrames.Sidecar("b"), SampleFrames.Picture(1));
        SampleFrames.Save(Base, SampleFrames.Sidecar("c"), SampleFrames.Picture(2));
        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        Assert.Equal(["c: removed"], Accept("c"));
        Assert.Single(Directory.GetFiles(Path.Combine(Base, BaselineStore.PixelFolder)));
        Assert.Throws<SnapshotException>(() => Accept("nobody"));
    }

    [Fact]
    public void Names_can_not_climb_out_of_the_folder() =>
        Assert.Throws<SnapshotException>(() => new BaselineStore(Base).Save(SampleFrames.Sidecar("../evil"), SampleFrames.Picture(1)));

    private IReadOnlyList<string> Accept(params string[] frames) => new Acceptance(_clock).Take(Request(frames));

    private AcceptRequest Request(string[] frames) =>
        new() { New = FrameSet.Open(New), BaseFolder = Base, Frames = frames, By = "the tester", Why = "new focus" };
}
