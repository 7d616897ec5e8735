using Microsoft.Extensions.Time.Testing;
using StageView.Snapshot.Baselines;
using StageView.Snapshot.Files;
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
        Assert.Throws<SnapshotException>(() => Accept("c"));
        Assert.Equal(["c: removed"], new Acceptance(_clock).Take(Request([]) with { Remove = ["c"] }));
        Assert.Single(Directory.GetFiles(Path.Combine(Base, BaselineStore.PixelFolder)));
        Assert.Throws<SnapshotException>(() => Accept("nobody"));
    }

    /// <summary>A run that was stopped, or one of several machines' parts, lacks frames that are not gone.</summary>
    [Fact]
    public void Nothing_is_removed_unless_named_nor_because_a_set_is_not_whole()
    {
        foreach (var name in new[] { "a", "b", "c" })
        {
            SampleFrames.Save(Base, SampleFrames.Sidecar(name), SampleFrames.Picture(1));
        }

        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(2));
        var part = new SetRecord { Shard = 1, Shards = 2, Frames = ["a"], Complete = true };
        part.Save(New);
        Assert.Contains("part 2 is missing", FrameSet.Open(New).Lacks, StringComparison.Ordinal);
        var e = Assert.Throws<SnapshotException>(() => new Acceptance(_clock).Take(Request(["a"]) with { Remove = ["b"] }));
        Assert.Contains("nothing is removed", e.Message, StringComparison.Ordinal);
        Assert.Equal(["a: replaced"], Accept("a"));
        Assert.Equal(["a", "b", "c"], FrameSet.Open(Base).Frames.Keys);

        (part with { Shards = 1, Frames = ["a", "b"], Complete = false }).Save(New);
        File.Delete(Path.Combine(New, part.FileName));
        Assert.Contains("holds 1 of the 2 frames", FrameSet.Open(New).Lacks, StringComparison.Ordinal);
        (part with { Shards = 1 }).Save(New);
        Assert.Null(FrameSet.Open(New).Lacks);
        Assert.Equal(["b: removed"], new Acceptance(_clock).Take(Request([]) with { Remove = ["b"] }));
    }

    [Fact]
    public void A_bare_picture_can_be_taken_twice_and_what_did_not_change_is_not_written()
    {
        for (var i = 1; i <= 2; i++)
        {
            FrameFile.Save(SampleFrames.Picture(i), Path.Combine(New, "still.png"));
            Assert.Equal([i == 1 ? "still: added" : "still: replaced"], Accept("still"));
        }

        var file = FrameSet.Open(Base).Frames["still"].SidecarFile!;
        var before = File.ReadAllText(file);
        _clock.Advance(TimeSpan.FromDays(1));
        Assert.Equal(["still: unchanged"], Accept("still"));
        Assert.Equal(before, File.ReadAllText(file));
    }

    [Fact]
    public void A_run_that_was_stopped_before_its_end_took_nothing_and_one_stopped_within_is_ended_by_the_next()
    {
        SampleFrames.Save(Base, SampleFrames.Sidecar("a"), SampleFrames.Picture(1));
        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(2));
        SampleFrames.Save(New, SampleFrames.Sidecar("b"), SampleFrames.Picture(2));
        var broken = FrameSet.Open(New).Frames["b"].SidecarFile!;
        var whole = File.ReadAllText(broken);
        File.WriteAllText(broken, whole[..40]);
        Assert.Throws<SnapshotException>(() => Accept("a", "b"));
        Assert.Equal(PixelHash.Of(SampleFrames.Picture(1)).Text, FrameSet.Open(Base).Frames["a"].ReadSidecar()!.Pixels);
        Assert.Equal(["a"], FrameSet.Open(Base).Frames.Keys);

        // As it lies there when the machine goes off between two moves.
        File.WriteAllText(broken, whole);
        Accept("b");
        Directory.CreateDirectory(Path.Combine(Base, ".accepting"));
        File.Copy(Path.Combine(New, "a.frame.json"), Path.Combine(Base, ".accepting", "0.json"));
        File.WriteAllText(Path.Combine(Base, ".accepting", "commit.json"),
            """{ "moves": [{ "from": "0.json", "to": "a.frame.json" }], "gone": ["b.frame.json"] }""");
        Assert.Contains("half-way", Assert.Throws<SnapshotException>(() => FrameSet.Open(Base)).Message, StringComparison.Ordinal);
        Assert.Equal(["b: added"], Accept("b"));
        Assert.Equal(PixelHash.Of(SampleFrames.Picture(2)).Text, FrameSet.Open(Base).Frames["a"].ReadSidecar()!.Pixels);
    }

    [Fact]
    public void Two_runs_into_one_folder_are_refused()
    {
        SampleFrames.Save(New, SampleFrames.Sidecar("a"), SampleFrames.Picture(2));
        using (FolderLock.Take(Base))
        {
            Assert.Contains("another run is writing there", Assert.Throws<SnapshotException>(() => Accept("a")).Message, StringComparison.Ordinal);
        }

        Assert.Equal(["a: added"], Accept("a"));
    }

    /// <summary>The baseline of a name that shows another look is not overwritten by the way.</summary>
    [Fact]
    public void A_frame_takes_the_place_of_the_one_it_pairs_with_and_of_no_other()
    {
        Save(Base, [("one", 1, "a"), ("two", 2, "b")]);
        Save(New, [("two", 1, "a"), ("three", 2, "b")]);
        Assert.Contains("take three along", Assert.Throws<SnapshotException>(() => Accept("two")).Message, StringComparison.Ordinal);
        Assert.Equal(["two: replaces one", "three: replaces two"], Accept("two", "three"));
        Assert.Equal(["three", "two"], FrameSet.Open(Base).Frames.Keys);

        static void Save(string folder, (string Name, int Number, string Look)[] frames)
        {
            Directory.CreateDirectory(folder);
            var facts = new SetFacts
            {
                Changes = [.. frames.Select(f => new ChangeRecord { Number = f.Number, Start = f.Number, Settled = f.Number, Look = f.Look })],
            }.Save(folder);
            foreach (var (name, number, look) in frames)
            {
                SampleFrames.Save(folder, SampleFrames.Sidecar(name) with { Facts = facts, Change = number, Part = "settled" }, SampleFrames.Picture(look[0]));
            }
        }
    }

    [Fact]
    public void Names_can_not_climb_out_of_the_folder() =>
        Assert.Throws<SnapshotException>(() => new BaselineStore(Base).Save(SampleFrames.Sidecar("../evil"), SampleFrames.Picture(1)));

    private IReadOnlyList<string> Accept(params string[] frames) => new Acceptance(_clock).Take(Request(frames));

    private AcceptRequest Request(string[] frames) =>
        new() { New = FrameSet.Open(New), BaseFolder = Base, Frames = frames, By = "the tester", Why = "new focus" };
}
