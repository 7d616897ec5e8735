using StageView.Show.Refocus;

namespace StageView.Show.Tests.Refocus;

/// <summary>States by what becomes of the cone, of heads that stay where they are.</summary>
public sealed class ConeTests
{
    private const string Head = """{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 8], "patch": "1.1" }""";
    private const string Floor = """{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }""";
    private const string Aimed = """{ "fixtures": "head", "dimmer": 1, "zoom": 20, "aim": [0, 5, 0] }""";

    private static RefocusRow Row(string venue, string more = "")
    {
        using var small = new SmallVenue($$"""{{more}}"hangs": [{{Head}}], "scenery": [{{Floor}}]""", venue);
        return Assert.Single(small.Look(Aimed).Rows);
    }

    // A flat whose edge stands just beside the axis: of 37 rays 17 are on its side, three in the plane of the edge.
    [Fact]
    public void A_flat_beside_the_axis_takes_half_the_cone()
    {
        var row = Row("""  "scenery": [{ "name": "flat", "shape": "box", "at": [2.1, 2.5, 3], "size": [4.1, 0.1, 6] }] """);
        Assert.Equal(RefocusState.Obstructed, row.State);
        var part = Assert.Single(row.Cone);
        Assert.Equal(("flat", ConeEffect.Shaded, 0), (part.What, part.Effect, part.Before));
        Assert.Equal(17 / 37.0, part.Share, 1e-6);
        Assert.Contains("flat takes 46 % of its cone", row.Detail, StringComparison.Ordinal);
    }

    // By hand: half way down the cone is .8 m wide about its axis, its outer ring of rays .7 m; a thin pole there stands before a few of 37.
    [Fact]
    public void A_pole_in_the_rim_is_told_and_is_no_obstacle()
    {
        var row = Row("""  "scenery": [{ "name": "pole", "shape": "box", "at": [0.66, 2.5, 3], "size": [0.08, 0.1, 6] }] """);
        Assert.Equal(RefocusState.Kept, row.State);
        Assert.InRange(Assert.Single(row.Cone).Share, .02, .09);
        Assert.Matches("^pole takes [358] % of its cone$", row.Detail);
    }

    [Fact]
    public void A_wall_put_in_the_way_of_a_head_that_stays_is_told()
    {
        var row = Row("""  "scenery": [{ "name": "wall", "shape": "box", "at": [0, 2.5, 3], "size": [9, 0.1, 6] }] """);
        Assert.Equal(RefocusState.Obstructed, row.State);
        Assert.Contains("wall is in the way", row.Detail, StringComparison.Ordinal);
        Assert.Equal(1, Assert.Single(row.Cone).Share, 1e-6);
    }

    [Fact]
    public void A_crowd_raised_into_the_beam_is_told_and_one_that_stands_where_it_stood_is_not()
    {
        const string stalls = "\"volumes\": [{ \"name\": \"stalls\", \"kind\": \"audience\", \"at\": [0, 8, 0], \"size\": [4, 3, 1] }], ";
        Assert.Equal(RefocusState.Kept, Row("\"move\": []", stalls).State);
        var row = Row("""  "move": [{ "what": "stalls", "by": [0, -3, 1] }] """, stalls);
        Assert.Equal(RefocusState.Audience, row.State);
        Assert.Contains("its axis enters stalls", row.Detail, StringComparison.Ordinal);
        Assert.Contains("light into eyes can hurt; what may be pointed where is decided on site", row.Detail, StringComparison.Ordinal);

        // What shone into them before, as much as now, is kept.
        var into = stalls.Replace("[0, 8, 0], \"size\": [4, 3, 1]", "[0, 5, 0], \"size\": [9, 9, 1]", StringComparison.Ordinal);
        row = Row("\"move\": []", into);
        Assert.Equal((RefocusState.Kept, ""), (row.State, row.Detail));
        Assert.Equal(1, row.Cone.Single(c => c.Effect == ConeEffect.Audience).Before, 1e-6);
    }

    // The spot on the floor is 1.6 m wide about (0, 5): its rim alone enters what begins at x = .65.
    [Theory]
    [InlineData("audience", RefocusState.Audience, "% of its cone enters pit; light into eyes can hurt")]
    [InlineData("crew", RefocusState.Kept, "% of its cone enters pit, where crew works")]
    public void A_rim_that_enters_peoples_places_counts(string kind, RefocusState state, string says)
    {
        var row = Row($$"""  "volumes": [{ "name": "pit", "kind": "{{kind}}", "at": [2.65, 5, 0], "size": [4, 6, 0.2] }] """);
        Assert.Equal(state, row.State);
        Assert.Contains(says, row.Detail, StringComparison.Ordinal);
        Assert.DoesNotContain("axis", row.Detail, StringComparison.Ordinal);
        Assert.InRange(Assert.Single(row.Cone).Share, .05, .4);
    }

    [Fact]
    public void A_limit_that_is_narrowed_puts_it_out_of_reach_and_the_least_shift_is_named()
    {
        var row = Row($$"""  "remove": ["head"], "hangs": [{{Head.Replace("\"at\"", "\"tiltLimit\": [-20, 20], \"at\"", StringComparison.Ordinal)}}] """);
        Assert.Equal(RefocusState.OutOfReach, row.State);

        // By hand: at 20 degrees it reaches 7.48 tan 20 = 2.72 m; 2.28 m farther upstage it reaches 5 m. Higher it would have to hang by 5/tan 20 - 7.48 m.
        Assert.Contains("hung 2.3 m upstage it reaches it", row.Detail, StringComparison.Ordinal);
    }

    [Fact]
    public void Those_that_are_dark_and_have_a_free_way_could_take_over_first()
    {
        string At(string name, int number, double x) => FormattableString.Invariant(
            $$"""{ "name": "{{name}}", "profile": "spot-head", "number": {{number}}, "at": [{{x}}, 0, 8], "patch": "{{number}}.1" }""");
        using var small = new SmallVenue(
            $$"""  "hangs": [{{Head}}, {{At("lit", 2, 1)}}, {{At("dark", 3, -2)}}, {{At("behind", 4, 6)}}], "scenery": [{{Floor}}] """,
            """  "remove": ["head"], "scenery": [{ "name": "flat", "shape": "box", "at": [3.5, 2, 4], "size": [0.1, 8, 8] }] """);
        var row = small.Look(Aimed + ", { \"fixtures\": \"lit\", \"dimmer\": 1, \"aim\": [1, 3, 0] }").Rows.Single(r => r.Fixture == "head");
        Assert.Equal((RefocusState.NotThere, "dark, lit (held elsewhere then) could reach it"), (row.State, row.Detail));
    }

    // The axis meets the mirror's left edge: half of the cone goes past it.
    [Fact]
    public void What_misses_the_mirror_is_told()
    {
        const string mirror = """  "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }], "bounces": 1, """;
        using var small = new SmallVenue($$"""{{mirror}}"hangs": [{{Head}}], "scenery": [{{Floor}}]""",
            """  "move": [{ "what": "panel", "by": [4.2, 0, 0] }] """);
        var row = Assert.Single(small.Look(
            """{ "fixtures": "head", "dimmer": 1, "zoom": 8, "aim": { "mirror": "panel", "from": [0.5, 0, 0], "to": [0.5, 0, 0] } }""").Rows);
        Assert.Equal(RefocusState.Kept, row.State);
        var part = row.Cone.Single(c => c.Effect == ConeEffect.PastMirror);
        Assert.Equal(("panel", 0), (part.What, part.Before));
        Assert.InRange(part.Share, .3, .5);
        Assert.Contains("% of its cone misses panel", row.Detail, StringComparison.Ordinal);
    }

    // The mirror is gone and the floor is free: by hand, 7.48 m under the crossing of the axes and .5 m beside it.
    [Fact]
    public void What_no_mirror_serves_any_more_is_aimed_at_straight_and_told()
    {
        const string mirror = """  "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }], "bounces": 1, """;
        using var small = new SmallVenue($$"""{{mirror}}"hangs": [{{Head}}], "scenery": [{{Floor}}]""", """  "remove": ["panel"] """);
        var row = Assert.Single(small.Look(
            """{ "fixtures": "head", "dimmer": 1, "zoom": 8, "aim": { "mirror": "panel", "from": [0.5, 0, 0], "to": [0.5, 0, 0] } }""").Rows);
        Assert.Equal("panel is not there; aimed straight at it instead", row.Detail);
        Assert.InRange(row.State, RefocusState.Flipped, RefocusState.Moved);
        Assert.Equal(Math.Atan2(.5, 7.48) * 180 / Math.PI, Math.Abs(row.NewTilt!.Value), .02);
    }

    [Fact]
    public void A_mirrored_rig_gives_mirrored_answers_down_to_the_cone()
    {
        RefocusRow Side(int sign)
        {
            string X(double x) => (sign * x).ToString(System.Globalization.CultureInfo.InvariantCulture);
            using var small = new SmallVenue($$"""
                "parts": [{ "name": "truss", "at": [{{X(1)}}, 0, 8], "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "patch": "1.1" }] }],
                "scenery": [{{Floor}}]
                """, $$"""
                "move": [{ "what": "truss", "by": [{{X(.4)}}, 0.2, -1.2] }],
                "scenery": [{ "name": "flat", "shape": "box", "at": [{{X(4.2)}}, 2.5, 3], "size": [4.1, 0.1, 6] }]
                """);
            return Assert.Single(small.Look($$"""{ "fixtures": "head", "dimmer": 1, "zoom": 20, "aim": [{{X(3)}}, 5, 0] }""").Rows);
        }

        var (right, left) = (Side(1), Side(-1));
        Assert.Equal(RefocusState.Obstructed, right.State);
        Assert.Equal(right.State, left.State);
        Assert.Equal(right.NewPan!.Value, -left.NewPan!.Value, .01f);
        Assert.Equal(right.NewTilt!.Value, left.NewTilt!.Value, .01f);
        Assert.Equal(right.Cone.Select(c => (c.What, c.Effect, Math.Round(c.Share, 6))), left.Cone.Select(c => (c.What, c.Effect, Math.Round(c.Share, 6))));
    }
}
