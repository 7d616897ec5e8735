using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Refocus;

namespace StageView.Show.Tests.Refocus;

/// <summary>Zoom and focus that positions hold, and those that do the same over another way.</summary>
public sealed class HeldOpticsTests
{
    private const string Rig = """
        "parts": [{ "name": "truss", "at": [0, 0, 8], "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "patch": "1.1" }] }],
        "focusPoints": [{ "name": "mark", "at": [0, 5, 0] }],
        "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        """;

    private const string Low = """ "move": [{ "what": "truss", "by": [0, 0, -2] }] """;

    /// <summary>From the lens, .245 m before the crossing of the axes .52 m below the hook, to the mark; in the old venue and 2 m lower, m.</summary>
    private static readonly double _was = Math.Sqrt((5 * 5) + (7.48 * 7.48)) - .245, _now = Math.Sqrt((5 * 5) + (5.48 * 5.48)) - .245;

    [Fact]
    public void Each_zoom_and_focus_that_is_held_has_one_that_does_the_same()
    {
        using var small = new SmallVenue(Rig, Low);
        var row = Assert.Single(small.Cues(9, """
            { "time": 0, "set": [{ "fixtures": "head", "dimmer": 1, "zoom": 10, "focus": 9, "aim": [0, 5, 0] }] },
            { "time": 5, "set": [{ "fixtures": "head", "dimmer": 1, "zoom": 20, "focus": 12, "aim": [0, 5, 0] }] }
            """).Rows);
        Assert.Equal(2, row.Optics.Count);
        foreach (var (held, zoom, focus) in row.Optics.Zip((double[])[10, 20], (double[])[9, 12]))
        {
            Assert.Equal(zoom, held.Zoom!.Value, .01);
            Assert.Equal(focus, held.Focus!.Value, .07);

            // The same half width over a shorter way; edges as soft where the way is to the focus as it was.
            Assert.Equal(Math.Tan(zoom * Math.PI / 360) * _was / _now, Math.Tan(held.ZoomThatHolds!.Value * Math.PI / 360), 2e-4);
            Assert.Equal(held.Focus.Value * _now / _was, held.FocusThatHolds!.Value, .01);
        }

        var look = Assert.Single(RefocusFiles.Looks(new RefocusAnswer([row], "", "", "", []))).Text;
        Assert.Contains(FormattableString.Invariant($"\"zoom\": {row.ZoomThatHolds!.Value:0.##}"), look, StringComparison.Ordinal);
        Assert.Contains("\"focus\": ", look, StringComparison.Ordinal);
    }

    // The light meter judges: what arrives at the mark of a plane that faces the head, in both venues.
    [Theory]
    [InlineData(10)]
    [InlineData(36)]
    public void The_illuminance_is_what_the_meter_says(double zoom)
    {
        using var small = new SmallVenue(Rig, Low);
        var entry = FormattableString.Invariant($$"""{ "fixtures": "head", "dimmer": 1, "zoom": {{zoom}}, "aim": [0, 5, 0] }""");
        var row = Assert.Single(small.Look(entry).Rows);
        Assert.Equal("mark", row.Anchor.Name);
        double Facing(Moment moment, RigScene rig, double cosine) =>
            Assert.Single(LuxQuestion.Answer(rig, moment, new LuxAsked(["mark"], "plane", true, null, null, null)).Points).Lux.Horizontal / cosine;
        var before = Facing(small.Here(entry), small.Before, 7.48 / (_was + .245));
        double With(double? beam) => Facing(small.There(FormattableString.Invariant(
            $$"""{ "set": [{ "fixtures": "head", "dimmer": 1, "zoom": {{beam ?? 42}}, "aim": [0, 5, 0] }] }""")), small.After, 5.48 / (_now + .245)) / before;

        Assert.Equal(row.LuxFactor!.Value, With(zoom), .02 * row.LuxFactor.Value);
        Assert.Equal(row.LuxFactorHeld!.Value, With(row.ZoomThatHolds), .03);

        // 36 degrees would have to be 43.6 over the shorter way; the head has 42, and its dimmer does the rest.
        Assert.Equal(zoom < 30, row.ZoomThatHolds is not null);
        Assert.Equal(1, row.LuxFactorHeld.Value * row.DimmerThatHolds!.Value, 1e-3);
        Assert.Equal(zoom < 30, Math.Abs(row.LuxFactorHeld.Value - 1) < .01);
    }
}
