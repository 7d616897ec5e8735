using System.Numerics;
using StageView.Light.Moments;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Show.Refocus;

namespace StageView.Show.Tests.Refocus;

/// <summary>Bounces in another venue: they land on their anchors, told and seen.</summary>
public sealed class MirrorTurnTests
{
    private const string Turning = """
        "bounces": 1,
        "parts": [
          { "name": "truss", "at": [0, 0, 8], "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "patch": "1.1" }] },
          { "name": "boom", "at": [0, 8, 6], "hangs": [{ "name": "panel", "profile": "mirror-panel", "number": 2, "patch": "2.1" }] }],
        "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        """;

    /// <summary>The head on the panel's axes, .68 m below its hook; the panel so that light goes on to the floor at (1, 3).</summary>
    private const string Over = """
        { "fixtures": "head", "dimmer": 1, "zoom": 4, "aim": [0, 8, 5.32] },
        { "fixtures": "panel", "bounce": { "from": [0, 0.2, 7.4], "to": [1, 3, 0] } }
        """;

    [Theory]
    [InlineData(""" "move": [{ "what": "boom", "by": [0, 0, -1.5] }] """)]
    [InlineData(""" "move": [{ "what": "truss", "by": [0.6, 0, -1.5] }] """)]
    public void A_turning_mirror_that_hangs_elsewhere_is_turned_so_that_the_bounce_lands_on_its_anchor(string venue)
    {
        using var small = new SmallVenue(Turning, venue);
        var answer = small.Look(Over);
        var row = answer.Rows.Single(r => r.Fixture == "head");
        Assert.Equal(AnchorKind.Piece, row.Anchor.Kind);
        Assert.Single(row.Anchor.Via);
        Assert.InRange(Vector3.Distance(row.Anchor.Place, SmallVenue.Lands(small.Here(Over), 1)), 0, .02f);

        var mirror = Assert.Single(answer.Mirrors);
        Assert.Equal("panel", mirror.Fixture);
        Assert.Equal(["head, position 1"], mirror.For);
        Assert.Contains("panel turned to pan", row.Detail, StringComparison.Ordinal);

        // The raw levels at their addresses put both axes there.
        var stage = SmallVenue.Decoded(small.After, [.. row.Channels, .. mirror.Channels]);
        Assert.Equal(mirror.NewPan, SmallVenue.Axis(stage, small.After.Fixtures[1].Index, "Pan"), .01);
        Assert.Equal(mirror.NewTilt, SmallVenue.Axis(stage, small.After.Fixtures[1].Index, "Tilt"), .01);
        var moment = small.There(RefocusFiles.Looks(answer).First().Text);
        Assert.InRange(Vector3.Distance(row.Anchor.Place, SmallVenue.Lands(moment, 1)), 0, .02f);
    }

    // Moved by less than the mirror's own size, heads alone do it.
    [Fact]
    public void A_turning_mirror_that_still_serves_is_left_alone()
    {
        using var small = new SmallVenue(Turning, """ "move": [{ "what": "truss", "by": [0.05, 0, 0] }] """);
        var answer = small.Look(Over);
        Assert.Empty(answer.Mirrors);
        Assert.Equal(RefocusState.Moved, answer.Rows.Single(r => r.Fixture == "head").State);
    }

    // In the picture: a camera straight over the anchor, below the mirror's light. The cone is even about its axis, so the mean direction of its bright pixels
    // from the image of the lens behind the mirror, each by its solid angle, is the axis.
    [Fact]
    public void A_bounce_off_a_mirror_that_hangs_lower_is_seen_on_its_anchor()
    {
        using var small = new SmallVenue("""
            "bounces": 1, "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 8], "patch": "1.1" }],
            "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }],
            "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
            """, """ "move": [{ "what": "panel", "by": [0, -0.8, -1.5] }] """);
        var answer = small.Look("""{ "fixtures": "head", "dimmer": 1, "zoom": 4, "aim": { "mirror": "panel", "from": [0.5, 0, 0], "to": [0.5, 0, 0] } }""");
        var row = Assert.Single(answer.Rows);
        Assert.Equal(RefocusState.Moved, row.State);
        var place = row.Anchor.Place;
        var moment = small.There(RefocusFiles.Looks(answer).First().Text);
        Assert.InRange(Vector3.Distance(place, SmallVenue.Lands(moment, 1)), 0, .02f);

        const int size = 480;
        const float height = 4, half = 3;
        var camera = new Camera
        {
            Name = "above", Position = place with { Z = height }, Target = place with { Z = 0 }, Up = Vector3.UnitY,
            VerticalFieldRadians = 2 * MathF.Atan(half / height), Ev100 = 5,
        };
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        var picture = renderer.Render(moment, camera, new RenderSettings { Width = size, Height = size, Linear = true }).Linear!;
        var apex = moment.Beams.Span[Enumerable.Range(0, moment.Beams.Length).MaxBy(i => moment.Beams.Span[i].Bounces)].Apex;
        var (sum, best) = (Vector3.Zero, 0f);
        for (var pass = 0; pass < 2; pass++)
        {
            for (var y = 0; y < size; y++)
            {
                for (var x = 0; x < size; x++)
                {
                    var p = new Vector3(place.X + (half * ((2 * (x + .5f) / size) - 1)), place.Y - (half * ((2 * (y + .5f) / size) - 1)), 0);
                    var cube = MathF.Pow((p - apex).Length(), 3);
                    var intensity = picture.LuminanceAt(x, y) * cube;
                    best = pass == 0 ? MathF.Max(best, intensity) : best;
                    sum += pass == 1 && intensity > .5f * best ? Vector3.Normalize(p - apex) / cube : Vector3.Zero;
                }
            }
        }

        Assert.True(best > 0);
        var axis = Vector3.Normalize(sum);
        Assert.InRange(Vector3.Distance(place, apex + (axis * (-apex.Z / axis.Z))), 0, .02f);
    }
}
