using StageView.Show.Refocus;

namespace StageView.Show.Tests.Refocus;

/// <summary>Winches that hang elsewhere, and heads that ride on them.</summary>
public sealed class WinchTests
{
    private const string Rig = """
        "parts": [{ "name": "truss", "at": [0, 0, 10], "hangs": [{ "name": "lift", "profile": "winch-globe", "number": 2, "patch": "2.1" }] }],
        "hangs": [{ "name": "rider", "profile": "spot-head", "number": 1, "at": [0, 0, -0.5], "carriedBy": { "fixture": "lift", "part": "carriage" },
          "patch": "1.1" }],
        "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        """;

    private const string Show = """
        { "time": 0, "set": [{ "fixtures": "lift", "height": -2 }, { "fixtures": "rider", "dimmer": 1, "pan": 0, "tilt": 30 }] },
        { "time": 10, "set": [{ "fixtures": "lift", "height": -4 }, { "fixtures": "rider", "dimmer": 1, "pan": 0, "tilt": 30 }] }
        """;

    [Fact]
    public void A_head_at_two_heights_has_two_positions_and_both_are_held_over_the_floor()
    {
        using var small = new SmallVenue(Rig, """ "move": [{ "what": "truss", "by": [0, 0, 1.5] }] """);
        var answer = small.Cues(25, Show);
        Assert.Equal(2, answer.Rows.Count);
        Assert.All(answer.Rows, r => Assert.Equal(RefocusState.Kept, r.State));

        // The winch hangs 1.5 m higher and lets out 1.5 m more.
        Assert.Equal(2, answer.Winches.Count);
        foreach (var (winch, old) in answer.Winches.Zip((float[])[-2, -4]))
        {
            Assert.Equal(("lift", old, 0f), (winch.Fixture, MathF.Round(winch.Old, 3), winch.Lower));
            Assert.Equal(old - 1.5, winch.New, .001);
            Assert.Equal(["rider"], winch.Carries);
            var channel = Assert.Single(winch.Channels);
            Assert.Equal(("2.1/2.2", Math.Round(-winch.New / 6.5 * 65535)), (channel.Addresses, (double)channel.Value));
        }

        Assert.Contains(RefocusFiles.Sheets(answer), s => s.Title == "Focus: winches first");

        // The look of each position lets the winch out as far as that position's own height needs.
        var looks = RefocusFiles.Looks(answer).Select(l => l.Text).ToList();
        Assert.Contains("\"XYZ_Z\": -3.5", looks[0], StringComparison.Ordinal);
        Assert.Contains("\"XYZ_Z\": -5.5", looks[1], StringComparison.Ordinal);
    }

    // 3 m higher the winch would have to let out 7 m of the 6.5 it has: the second height ends half a metre higher, and the head is focused anew from there.
    [Fact]
    public void A_winch_that_cannot_go_so_far_is_told_and_heads_are_focused_from_where_it_stands()
    {
        using var small = new SmallVenue(Rig, """ "move": [{ "what": "truss", "by": [0, 0, 3] }] """);
        var answer = small.Cues(25, Show);
        Assert.Equal([0, -.5], answer.Winches.Select(w => Math.Round(w.Lower, 3)));
        Assert.Contains("0.50 m higher than before", string.Join('\n', RefocusAxes.Lines(answer)), StringComparison.Ordinal);
        var (first, second) = (answer.Rows.Single(r => r.Position == 1), answer.Rows.Single(r => r.Position == 2));
        Assert.Equal(RefocusState.Kept, first.State);

        // By hand: the axes cross at 10 - .55 - 4 - .5 - .52 = 4.43 m, and half a metre higher.
        Assert.Equal(Math.Atan2(4.43 * Math.Tan(Math.PI / 6), 4.93) * 180 / Math.PI, Math.Abs(second.NewTilt!.Value), .01);
    }

    [Fact]
    public void A_winch_that_hangs_where_it_did_is_left_alone()
    {
        using var small = new SmallVenue(Rig, """ "move": [{ "what": "floor", "by": [0, 0, -0.2] }] """);
        Assert.Empty(small.Cues(25, Show).Winches);
    }
}
