using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Tests.Sets;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Tests.Why;

public sealed class CauseTests
{
    [Fact]
    public void The_fixture_under_the_change_comes_first_with_its_attribute_in_its_unit()
    {
        var before = SampleFrames.Sidecar("a");
        var after = before with { Fixtures = [SampleFrames.Head("head 1", pan: 10.5, left: 0.1), SampleFrames.Head("head 2", pan: 40, left: 0.6)] };
        var causes = Find(before, after, changedAt: (0.6, 0.9));
        Assert.Equal(["head 2: Pan -30° → 40°", "head 1: Pan 10° → 10.5°"], causes.Select(c => c.Text));
        Assert.InRange(causes[0].Share!.Value, 0.6, 1);
        Assert.Equal(0, causes[1].Share);
    }

    [Fact]
    public void A_fixture_that_is_lit_now_is_named()
    {
        var before = SampleFrames.Sidecar("a");
        var after = before with { Fixtures = [.. before.Fixtures, SampleFrames.Head("head 3", 0, 0.3)] };
        Assert.Equal("head 3: light dark → lit", Find(before, after, (0.3, 0.5))[0].Text);
    }

    [Fact]
    public void What_all_fixtures_of_a_place_share_is_one_cause()
    {
        var before = Facts([.. Enumerable.Range(1, 6).Select(i => Height($"up head {i}", 8.08)), Height("down head 1", 7)]);
        var after = Facts([.. Enumerable.Range(1, 6).Select(i => Height($"up head {i}", 7.58)), Height("down head 1", 7)]);
        Assert.Equal(["up heads 1 to 6: 50 cm lower, height 8.08 m → 7.58 m (6 fixtures)"], FactsDiff.Of(before, after).Select(c => c.Text));

        // The truss that carries them moved too: it is told, with its own height, once.
        Assert.Equal(
            ["upstage truss: 50 cm lower, height 8.3 m → 7.8 m (6 fixtures)"],
            FactsDiff.Of(before with { Rig = [.. before.Rig, Truss(8.3)] }, after with { Rig = [.. after.Rig, Truss(7.8)] }).Select(c => c.Text));
        Assert.Equal(
            ["up heads 1 to 6: 50 cm lower, height 8.08 m → 7.58 m (6 fixtures)", "scenery upstage truss: 30 cm lower, height 8.3 m → 8 m"],
            FactsDiff.Of(before with { Rig = [.. before.Rig, Truss(8.3)] }, after with { Rig = [.. after.Rig, Truss(8)] }).Select(c => c.Text));

        static RigFact Truss(double height) => new() { Kind = "scenery", Subject = "upstage truss", Property = "height", Value = height, Unit = "m" };
        static RigFact Height(string name, double height) =>
            new()
            {
                Kind = "fixture",
                Subject = name,
                Property = "height",
                Value = height,
                Unit = "m",
                Place = name.StartsWith("up", StringComparison.Ordinal) ? "upstage truss" : "downstage truss",
            };
    }

    [Fact]
    public void Pieces_that_move_as_one_are_one_cause_in_a_designers_words()
    {
        var before = Facts([.. Place("scenery", "truss piece", 14, 7.9, 2), .. Place("fixture", "head", 6, 7.7, 2)]);
        var after = Facts([.. Place("scenery", "truss piece", 14, 7.1, 2), .. Place("fixture", "head", 6, 6.9, 2)]);
        var one = Assert.Single(FactsDiff.Of(before, after));
        Assert.Equal("truss piece 1 and 13 more: 80 cm lower, 14 pieces, height 7.9 m → 7.1 m (6 fixtures)", one.Text);
        Assert.Equal(14, one.Pieces!.Count);
        var aside = Facts([.. Place("scenery", "truss piece", 14, 8.1, 1.4), .. Place("fixture", "head", 6, 7.9, 1.4)]);
        Assert.Equal("truss piece 1 and 13 more: 20 cm higher, 60 cm downstage, 14 pieces (6 fixtures)", Assert.Single(FactsDiff.Of(before, aside)).Text);
        Assert.Equal("mirror panel: 10 cm to the audience's left, x 0 m → -0.1 m",
            Assert.Single(FactsDiff.Of(Facts([Metres("mirror", "panel", "x", 0)]), Facts([Metres("mirror", "panel", "x", -.1)]))).Text);

        static IEnumerable<RigFact> Place(string kind, string name, int count, double height, double y) => Enumerable.Range(1, count)
            .SelectMany(i => (RigFact[])[
                Metres(kind, $"{name} {i}", "height", height), Metres(kind, $"{name} {i}", "y", y), Metres(kind, $"{name} {i}", "x", i)]);
        static RigFact Metres(string kind, string name, string property, double value) =>
            new() { Kind = kind, Subject = name, Property = property, Value = value, Unit = "m", Place = kind == "fixture" ? "truss" : null };
    }

    // The piece moved where nothing in the picture changed; the head's light is where it did.
    [Fact]
    public void A_piece_that_only_moved_ranks_below_the_light_that_changed_the_picture()
    {
        var before = SampleFrames.Sidecar("a") with { Pieces = [new PieceRecord("drape", [Box(.1)]), new PieceRecord("riser", [Box(.6)])] };
        var after = before with { Fixtures = [SampleFrames.Head("head 1", pan: 10, left: 0.1), SampleFrames.Head("head 2", pan: 40, left: 0.6)] };
        var whole = FactsDiff.Of(Facts([Height("drape", 3), Height("riser", 1)]), Facts([Height("drape", 4), Height("riser", 1.5)]));
        var causes = CauseFinder.Find(before, after, whole, [], Map(.6, .7));
        Assert.Equal(["head 2", "scenery riser", "scenery drape"], causes.Select(c => c.Subject));
        Assert.Equal(0, causes.Single(c => c.Subject == "scenery drape").Share);
        Assert.InRange(causes.Single(c => c.Subject == "scenery riser").Share!.Value, .2, 1);

        static RigFact Height(string name, double height) => new() { Kind = "scenery", Subject = name, Property = "height", Value = height, Unit = "m" };
        static ScreenCover Box(double left) => new([left, .4, left + .1, .4, left + .1, .6, left, .6]);
    }

    [Fact]
    public void A_mirror_does_what_it_throws_and_a_camera_only_to_its_own_picture()
    {
        var head = SampleFrames.Head("head 1", pan: 10, left: .1);
        var before = SampleFrames.Sidecar("a") with
        {
            Camera = "house",
            Fixtures = [head with { Covers = [new ScreenCover([.5, 0, .9, 0, .9, 1, .5, 1]) { Over = "panel" }] }],
        };
        Cause[] whole =
        [
            new() { Kind = CauseKind.Rig, Subject = "mirror panel", Pieces = ["panel"] }, new() { Kind = CauseKind.Rig, Subject = "camera side" },
            new() { Kind = CauseKind.Rig, Subject = "camera house" },
        ];
        var causes = CauseFinder.Find(before, before, whole, [], Map(.5, .9));
        Assert.Equal(["camera house", "mirror panel"], causes.Select(c => c.Subject).Order(StringComparer.Ordinal));
        Assert.All(causes, c => Assert.InRange(c.Share!.Value, .95, 1));
    }

    [Fact]
    public void New_and_gone_things_of_the_rig_are_one_cause_each()
    {
        var before = Facts([Fact("head 1", "mode", "wide"), Fact("head 1", "address", "1.1"), Fact("head 2", "mode", "wide")]);
        var after = Facts([Fact("head 2", "mode", "narrow"), Fact("head 3", "mode", "wide")]);
        Assert.Equal(
            ["fixture head 1: is no longer in the rig", "fixture head 3: is new in the rig", "head 2: mode wide → narrow"],
            FactsDiff.Of(before, after).Select(c => c.Text));
    }

    [Fact]
    public void What_a_mode_did_to_its_fixture_follows_from_the_mode()
    {
        var before = SampleFrames.Sidecar("a");
        var after = before with { Fixtures = [SampleFrames.Head("head 1", pan: 200, left: 0.1), SampleFrames.Head("head 2", pan: -30, left: 0.6)] };
        var whole = FactsDiff.Of(Facts([Fact("head 1", "mode", "wide")]), Facts([Fact("head 1", "mode", "narrow")]));
        var causes = CauseFinder.Find(before, after, whole, [], Map(0.1, 0.3));
        Assert.Equal(["head 1: mode wide → narrow", "head 1: Pan 10° → 200°"], causes.Select(c => c.Text));
        Assert.Equal("head 1: mode wide → narrow", causes[1].Follows);
    }

    [Fact]
    public void A_cue_that_comes_later_is_named_once_and_only_in_frames_near_it()
    {
        ChangeRecord[] old = [Change(1, 2, 3, "x"), Change(2, 10, 12, "y"), Change(3, 20, 21, "z")];
        ChangeRecord[] now = [Change(1, 2, 3, "x"), Change(2, 10.6, 12.6, "y"), Change(3, 20, 21, "z")];
        var timing = TimingDiff.Of(old, now);
        Assert.Equal(["change 2: starts 0.6 s later: 10 s → 10.6 s"], timing.Select(t => t.ToCause().Text));
        var near = CauseFinder.Find(SampleFrames.Sidecar("a", 10.4), SampleFrames.Sidecar("a", 10.4), [], timing, null);
        var far = CauseFinder.Find(SampleFrames.Sidecar("a", 15), SampleFrames.Sidecar("a", 15), [], timing, null);
        Assert.Single(near);
        Assert.Empty(far);
    }

    [Fact]
    public void Changes_that_all_moved_alike_and_one_that_only_one_capture_has()
    {
        ChangeRecord[] old = [Change(1, 2, 3, "x"), Change(2, 10, 12, "y"), Change(3, 20, 21, "z")];
        ChangeRecord[] now = [Change(1, 2, 3, "x"), Change(2, 5, 6, "q"), Change(3, 11, 13, "y"), Change(4, 21, 22, "z")];
        Assert.Equal(
            ["change 2: only in the new capture, at 5 s", "change 3: starts 1 s later, and 1 changes after it: 10 s → 11 s"],
            TimingDiff.Of(old, now).Select(t => t.ToCause().Text));
        ChangeRecord[] longer = [Change(1, 2, 3, "x"), Change(2, 10, 14, "y"), Change(3, 20, 21, "z")];
        Assert.Equal(["change 2: takes 2 s longer: 2 s → 4 s"], TimingDiff.Of(old, longer).Select(t => t.ToCause().Text));
    }

    /// <summary>A gel is one cause with the colour's name; what it did to each colour follows from it.</summary>
    [Fact]
    public void What_only_one_rig_says_is_told_and_colours_are_called_by_name()
    {
        var before = SampleFrames.Sidecar("a");
        var (white, orange) = (Lamp(0.3127, 0.329), Lamp(0.5, 0.4));
        var whole = FactsDiff.Of(Facts([Fact("head 1", "mode", "wide")]), Facts([Fact("head 1", "mode", "wide"), Fact("head 1", "gel", "orange, 100 %")]));
        Assert.Equal("head 1: gel none → orange, 100 %", Assert.Single(whole).Text);
        var causes = CauseFinder.Find(before with { Fixtures = [white] }, before with { Fixtures = [orange] }, whole, [], Map(.1, .3));
        Assert.Equal(["head 1: gel none → orange, 100 %", "head 1: colour white of 6500 K (0.313, 0.329) → orange (0.5, 0.4)"], causes.Select(c => c.Text));
        Assert.NotNull(causes[1].Follows);

        static FixtureRecord Lamp(double x, double y) =>
            SampleFrames.Head("head 1", 0, .1) with { Attributes = [new AttributeRecord("colour x", x), new AttributeRecord("colour y", y)] };
    }

    /// <summary>Of daylight and of illuminant A (CIE 15:2004: 6504 K and 2856 K), and of the primaries of ITU-R BT.709.</summary>
    [Theory]
    [InlineData(.3127, .3290, "white of 6500 K")]
    [InlineData(.4476, .4074, "white of 2850 K")]
    [InlineData(.64, .33, "red")]
    [InlineData(.30, .60, "green")]
    [InlineData(.15, .06, "blue")]
    [InlineData(.194, .169, "azure")]
    public void Chromaticities_have_names(double x, double y, string name) => Assert.StartsWith(name + " (", ColourWords.Of(x, y), StringComparison.Ordinal);

    [Fact]
    public void A_fixture_that_is_gone_stands_before_its_light_that_is_dark_and_a_lamp_before_the_scenery_it_falls_on()
    {
        var before = SampleFrames.Sidecar("a") with { Pieces = [new PieceRecord("back wall", [new ScreenCover([0, 0, 1, 0, 1, 1, 0, 1])])] };
        var after = before with { Fixtures = [before.Fixtures[0]] };
        var whole = FactsDiff.Of(
            Facts([Fact("head 1", "mode", "a"), Fact("head 2", "mode", "a"), Height(3)]), Facts([Fact("head 1", "mode", "a"), Height(3.2)]));
        var causes = CauseFinder.Find(before, after, whole, [], Map(.6, .7));
        Assert.Equal(["fixture head 2", "scenery back wall", "head 2"], causes.Select(c => c.Subject));
        Assert.Equal("fixture head 2: is no longer in the rig", causes[2].Follows);

        static RigFact Height(double height) => new() { Kind = "scenery", Subject = "back wall", Property = "height", Value = height, Unit = "m" };
    }

    [Fact]
    public void A_turn_is_told_as_an_angle_and_many_names_in_a_few_words()
    {
        var (sin, cos) = (MathF.Sin(MathF.PI / 360), MathF.Cos(MathF.PI / 360));
        var turned = FactsDiff.Of(
            Facts([Turn("1 0 0 0 0 1")]), Facts([Turn(FormattableString.Invariant($"{cos} {sin} 0 0 0 1"))]));
        Assert.Equal("mirror sheet: turned by 0.5°", Assert.Single(turned).Text);
        Assert.Empty(FactsDiff.Of(Facts([Turn("1 0 0 0 0 1")]), Facts([Turn("1 0.00001 0 0 0 1")])));
        Assert.Equal("down heads 1 to 6, wash 3", NameRuns.Fold([.. Enumerable.Range(1, 6).Select(i => $"down head {i}"), "wash 3"]));

        static RigFact Turn(string axes) => new() { Kind = "mirror", Subject = "sheet", Property = RigFact.Turn, Text = axes };
    }

    private static IReadOnlyList<Cause> Find(FrameSidecar before, FrameSidecar after, (double From, double To) changedAt) =>
        CauseFinder.Find(before, after, [], [], Map(changedAt.From, changedAt.To));

    private static ChangeMap Map(double from, double to)
    {
        var map = new ChangeMap(200, 100);
        for (var i = 0; i < map.Pixels.Length; i++)
        {
            var x = (i % 200) / 200.0;
            map.Pixels[i] = x >= from && x < to ? PixelChange.Changed : PixelChange.Same;
        }

        return map;
    }

    private static SetFacts Facts(RigFact[] facts) => new() { Rig = facts };

    private static RigFact Fact(string subject, string property, string text) =>
        new() { Kind = "fixture", Subject = subject, Property = property, Text = text };

    private static ChangeRecord Change(int number, double start, double settled, string look) =>
        new() { Number = number, Start = start, Settled = settled, Look = look };
}
