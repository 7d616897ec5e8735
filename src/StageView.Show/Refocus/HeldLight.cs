using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Stage.Programs;

namespace StageView.Show.Refocus;

/// <summary>Zoom and focus that do the same over a longer or shorter way.</summary>
internal static class HeldLight
{
    /// <summary>The beam angle at which the spot is as wide as before, degrees; null where the fixture has none such.</summary>
    /// <param name="levels">What fixtures can be set to.</param>
    /// <param name="fixture">The fixture.</param>
    /// <param name="zoom">The old beam angle, rad.</param>
    /// <param name="factor">The new way's length beside the old one's.</param>
    public static float? Zoom(AxisLevels levels, Fixture fixture, float zoom, double factor)
    {
        var degrees = Narrower(zoom, factor);
        return levels.Can(fixture, "Zoom", degrees) ? degrees : null;
    }

    /// <summary>The zooms and focuses of a position, each with those that hold width and sharpness.</summary>
    /// <param name="levels">What fixtures can be set to.</param>
    /// <param name="fixture">The fixture in the new venue.</param>
    /// <param name="position">The position.</param>
    /// <param name="factor">The new way's length beside the old one's; null where there is none.</param>
    public static IReadOnlyList<OpticsRow> Of(AxisLevels levels, Fixture fixture, HeldPosition position, double? factor) =>
    [
        .. position.Optics.Select(o => new OpticsRow(
            o.Zoom,
            factor is { } f && o.Zoom is { } zoom ? Zoom(levels, fixture, Angles.Radians(zoom), f) : null,
            o.Focus,
            factor is { } g && o.Focus is { } focus ? Focus(levels, fixture, focus, g) : null)),
    ];

    /// <summary>
    /// The focus at which edges are as wide as before. An edge's width on the surface is the lens's radius × |way / focus distance - 1| (similar triangles about
    /// the focused plane), so the focus distance goes with the way.
    /// </summary>
    private static float? Focus(AxisLevels levels, Fixture fixture, float focus, double factor)
    {
        if (AxisLevels.Range(fixture, AttributeOp.Focus) is not { } range || FocusRange.Metres(range.To, focus) is not (> 0 and var metres))
        {
            return null;
        }

        var value = FocusRange.Value(range.To, metres * (float)factor);
        return levels.Can(fixture, range.Attribute, value) ? value : null;
    }

    private static float Narrower(float zoom, double factor) => Angles.Degrees(2 * MathF.Atan(MathF.Tan(zoom / 2) / (float)factor));
}
