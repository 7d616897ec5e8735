using System.Numerics;
using StageView.Show.Refocus;
using StageView.Show.Rigs;

namespace StageView.Show.Tests.Refocus;

/// <summary>What was focused: which ticks count, and the file that keeps them.</summary>
public sealed class FocusTicksTests : IDisposable
{
    private static readonly DateTimeOffset Ten = new(2026, 3, 1, 10, 0, 0, TimeSpan.FromHours(1));
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("tour.rig.jsonc", null, "tour.focused.json")]
    [InlineData("tour.rig.jsonc", "low-hall.venue.jsonc", "tour.low-hall.focused.json")]
    [InlineData("tour.json", "elsewhere/low.hall.json", "tour.low.hall.focused.json")]
    public void The_file_lies_beside_the_rig_and_is_called_after_it_and_the_venue(string rig, string? venue, string name) =>
        Assert.Equal(_folder[name], FocusFile.For(_folder[rig], venue));

    [Fact]
    public void Ticks_are_read_as_they_were_written_and_none_where_there_is_no_file()
    {
        var path = _folder["tour.focused.json"];
        Assert.Empty(FocusFile.Read(path));
        var tick = FocusTick.Of(Row("head", 2, "ζ \"step\"", new(1, 2, 3), 10, null) with { NewTilt = 4.5f }, "A. Rigger", Ten);
        FocusFile.Write(path, "Tour", "Low hall", [tick]);
        var read = Assert.Single(FocusFile.Read(path));
        Assert.Equal(tick with { Via = read.Via, Place = read.Place }, read);
        Assert.Equal([1f, 2, 3], read.Place);
        Assert.Equal([], read.Via);
        Assert.Contains("ζ", File.ReadAllText(path), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("{\n  \"ticks\": [\n    { \"fixture\": 3 }] }", ":3: $.ticks[0].fixture")]
    [InlineData("{ \"ticks\": [null] }", ":1: $: is not a list of ticks")]
    [InlineData("{ \"tour\": \"a\" }", ":1: $")]
    [InlineData("null", ":1: $")]
    [InlineData("{ \"ticks\": [", ":1: ")]
    public void A_file_that_is_none_is_refused_with_its_name_and_place(string text, string place)
    {
        var path = _folder.File("tour.focused.json", text);
        Assert.Contains("tour.focused.json" + place, Assert.Throws<StopException>(() => FocusFile.Read(path)).Message, StringComparison.Ordinal);
    }

    // By hand: the spot head pans 540 degrees over 16 bits, so a step is 540 / 65,535 = .00824 degrees.
    [Fact]
    public void A_tick_counts_while_the_values_are_within_a_step_of_those_that_were_focused()
    {
        var ticks = new[] { FocusTick.Of(Row("head", 1, "floor", default, 10, 20), "", Ten) };
        Assert.Equal("", Of(ticks, Row("head", 1, "floor", default, 10.008f, 20))[0]!.Value.Changed);
        Assert.Equal("pan is 10.01, was 10.00", Of(ticks, Row("head", 1, "floor", default, 10.0095f, 20))[0]!.Value.Changed);
        Assert.Equal("there is no pan any more, there is no tilt any more", Of(ticks, Row("head", 1, "floor", default, null, null))[0]!.Value.Changed);
        var without = new[] { FocusTick.Of(Row("head", 1, "floor", default, null, null), "", Ten) };
        Assert.Equal("", Of(without, Row("head", 1, "floor", default, null, null))[0]!.Value.Changed);
        Assert.Equal("pan is 10.00, there was none, tilt is 20.00, there was none", Of(without, Row("head", 1, "floor", default, 10, 20))[0]!.Value.Changed);
    }

    [Fact]
    public void Done_and_to_do_leave_out_what_is_kept_and_ticks_that_count_no_longer()
    {
        RefocusRow[] rows =
        [
            Row("head", 1, "floor", default, 1, 2), Row("head", 2, "riser", default, 3, 4), Row("head", 3, "cloth", default, 5, 6),
            Row("head", 4, "wall", default, 7, 8) with { State = RefocusState.Kept },
        ];
        var progress = Of([.. rows.Select(r => FocusTick.Of(r, "", Ten))], [rows[0], rows[1] with { NewPan = 3.5f }, rows[2], rows[3]]);
        Assert.Equal((2, 3), (progress.Done, progress.Of));
        Assert.Equal([0, 1, 2, 3], progress.Rows.Order());
        Assert.Empty(progress.WithoutPosition);
    }

    [Fact]
    public void A_tick_belongs_to_what_the_position_is_for_whatever_its_number_and_to_one_position_alone()
    {
        // Two places on one riser, 0.4 m apart: each tick goes to the nearest; what the head did first is another position now.
        var ticks = new[]
        {
            FocusTick.Of(Row("head", 1, "riser", new(0, 0, 0), 1, 1), "near", Ten), FocusTick.Of(Row("head", 2, "riser", new(.4f, 0, 0), 2, 2), "far", Ten),
        };
        var progress = Of(ticks, Row("head", 1, "cloth", default, 9, 9), Row("head", 2, "riser", new(.39f, 0, 0), 2, 2),
            Row("head", 3, "riser", new(.01f, 0, 0), 1, 1));
        Assert.Null(progress[0]);
        Assert.Equal("far", progress[1]!.Value.Tick.By);
        Assert.Equal("near", progress[2]!.Value.Tick.By);

        // Another fixture, another way, another kind, a place a metre off, or a tick too many: no position's.
        var row = Row("head", 1, "riser", default, 1, 1);
        FocusTick[] strays =
        [
            FocusTick.Of(row, "", Ten) with { Via = ["panel"] },
            FocusTick.Of(row, "", Ten) with { Kind = AnchorKind.Point }, FocusTick.Of(row, "", Ten) with { Place = [1, 0, 0] },
            FocusTick.Of(row, "", Ten) with { Place = [] }, FocusTick.Of(row, "", Ten) with { Place = [.1f, 0, 0] },
            FocusTick.Of(row, "", Ten) with { Fixture = "other" },
        ];
        var one = Of([FocusTick.Of(row, "its", Ten), .. strays], row);
        Assert.Equal("its", one[0]!.Value.Tick.By);
        Assert.Equal(strays, one.WithoutPosition);
    }

    private FocusProgress Of(IEnumerable<FocusTick> ticks, params RefocusRow[] rows)
    {
        var rig = RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
              "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 6], "patch": "1.1" }] }
            """));
        return new FocusProgress(new RefocusResult(rig, rig, new RefocusAnswer(rows, "Small", "", "", [])), ticks);
    }

    private static RefocusRow Row(string fixture, int position, string piece, Vector3 place, float? pan, float? tilt) => new()
    {
        Fixture = fixture, FixtureNumber = "1", Hang = "", Position = position, Times = [0], Cues = [], State = RefocusState.Moved,
        Anchor = new Anchor(AnchorKind.Piece, piece, place, place, [], "it is met"), OldPan = 0, OldTilt = 0, NewPan = pan, NewTilt = tilt,
    };
}
