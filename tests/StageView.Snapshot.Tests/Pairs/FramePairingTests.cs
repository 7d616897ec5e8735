using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Pairs;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Tests.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Tests.Pairs;

public sealed class FramePairingTests : IDisposable
{
    private readonly TempFolder _temp = new();

    public void Dispose() => _temp.Dispose();

    /// <summary>A cue that is inserted comes as one frame of its own; every other frame finds its own look again, whatever its number or name is now.</summary>
    [Fact]
    public void An_inserted_cue_is_one_added_frame_and_the_others_stay_paired()
    {
        ChangeRecord[] old =
            [Change(1, 2, "a", Heads(1, 6)), Change(2, 5, "b", Heads(7, 12)), Change(3, 9, "c", Heads(1, 12)), Change(4, 12, "b", Heads(7, 12))];
        // Inserted between 1 and 2; the next one then has other levels to move and another digest, and the last look's name counts on.
        ChangeRecord[] now =
        [
            Change(1, 2, "a", Heads(1, 6)), Change(2, 3.5, "x", Heads(30, 40)), Change(3, 5, "b2", Heads(7, 12)), Change(4, 9, "c", Heads(1, 12)),
            Change(5, 12, "b", Heads(7, 12)),
        ];
        Save("base", old, "change-a", "change-b", "change-c", "change-b-2");
        Save("new", now, "change-a", "change-x", "change-b2", "change-c", "change-b");
        var pairs = FramePairing.Of(FrameSet.Open(_temp["base"]), FrameSet.Open(_temp["new"]));
        Assert.Equal(
            [("change-a", "change-a"), (null, "change-x"), ("change-b", "change-b2"), ("change-c", "change-c"), ("change-b-2", "change-b")],
            pairs.Select(p => (p.Base, p.New)));

        var result = SetComparison.Run(
            new SetRequest { Base = FrameSet.Open(_temp["base"]), New = FrameSet.Open(_temp["new"]) }, stop: TestContext.Current.CancellationToken);
        Assert.Equal(4, result.Count(FrameVerdict.Identical));
        Assert.Equal(1, result.Count(FrameVerdict.Added));
        Assert.Equal("change-b", result.Frames.Single(f => f.Name == "change-b2").BaseName);
    }

    /// <summary>A frame that only the base has does not lose its name to a new one that belongs to another.</summary>
    [Fact]
    public void A_removed_frame_is_told_beside_a_new_one_of_its_name()
    {
        Save("base", [Change(1, 2, "a", Heads(1, 6)), Change(2, 5, "b", Heads(20, 30))], "change-a", "change-b");
        Save("new", [Change(1, 2, "a", Heads(1, 6))], "change-b");
        var pairs = FramePairing.Of(FrameSet.Open(_temp["base"]), FrameSet.Open(_temp["new"]));
        Assert.Equal([("change-b", "change-a", "change-b"), ("change-b (base)", "change-b", null)], pairs.Select(p => (p.Name, p.Base, p.New)));
    }

    [Fact]
    public void Changes_pair_by_channels_names_and_timecode_where_their_looks_differ()
    {
        // All looks differ. The second moves the same channels, the third bears the same name, the fourth has the label and the place, the fifth is like none.
        ChangeRecord[] old =
        [
            Change(1, 5, "a", Heads(1, 6)), Change(2, 9, "b", Heads(7, 8)) with { Name = "cue 'wall'" },
            Change(3, 20, "c", Heads(9, 10)) with { Timecode = "01:00:20:00" },
            Change(4, 40, "d", Heads(11, 12)),
        ];
        ChangeRecord[] now =
        [
            Change(1, 4, "p", Heads(40, 41)), Change(2, 5, "q", Heads(1, 6)), Change(3, 9.2, "r", Heads(50, 52)) with { Name = "cue 'wall'" },
            Change(4, 20, "s", Heads(60, 62)) with { Timecode = "01:00:20:02" }, Change(5, 90, "t", Heads(70, 72)),
        ];
        Assert.Equal(
            [(null, 1), (1, 2), (2, 3), (3, 4), (4, null), (null, 5)],
            TimingDiff.Pair(old, now).Select(p => (p.A?.Number, p.B?.Number)));
    }

    private void Save(string folder, ChangeRecord[] changes, params string[] names)
    {
        Directory.CreateDirectory(_temp[folder]);
        var facts = new SetFacts { Changes = changes }.Save(_temp[folder]);
        for (var i = 0; i < names.Length; i++)
        {
            var seed = changes[i].Look[0];
            SampleFrames.Save(
                _temp[folder], SampleFrames.Sidecar(names[i], changes[i].Settled) with { Facts = facts, Change = i + 1, Part = "settled" },
                SampleFrames.Picture(seed));
        }
    }

    private static ChangeRecord Change(int number, double start, string look, string shape) =>
        new() { Number = number, Start = start, Settled = start + 1, Look = look, Shape = shape };

    /// <summary>A sketch that has each of 32 bytes from the set it stands for.</summary>
    private static string Heads(int from, int to) =>
        string.Concat(Enumerable.Range(0, 32).Select(k => FormattableString.Invariant($"{((from * 31) + (to * 7) + k) % 256:x2}")));
}
