using StageView.Ground.Numbers;
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
    /// <param name="factor">The new way's length, from the lens, beside the old one's.</param>
    public static float? Zoom(AxisLevels levels, Fixture fixture, float zoom, double factor)
    {
        var degrees = Narrower(zoom, factor);
        return levels.Can(fixture, "Zoom", degrees) ? degrees : null;
    }

    /// <summary>
    /// Illuminance beside before, with the zoom that holds the width or comes nearest to that: the same flux in the solid angle of another cone,
    /// 2π(1 - cos half its angle), over the square of the way from its apex. Real lenses lose a little when they zoom.
    /// </summary>
    /// <param name="fixture">The fixture.</param>
    /// <param name="zoom">The old beam angle, rad.</param>
    /// <param name="apex">How far behind the lens the old beam's apex lies, m.</param>
    /// <param name="was">The old way's length, m.</param>
    /// <param name="now">The new way's, m.</param>
    public static double Lux(Fixture fixture, float zoom, float apex, double was, double now)
    {
        var range = AxisLevels.Range(fixture, AttributeOp.Zoom);
        var wanted = Narrower(zoom, now / was);
        var then = range is { } r ? Angles.Radians(Math.Clamp(wanted, r.From, r.To)) : zoom;
        var behind = apex * Math.Tan(zoom / 2) / Math.Tan(then / 2);
        var ways = (apex + was) / (behind + now);
        return (1 - Math.Cos(zoom / 2)) / (1 - Math.Cos(then / 2)) * ways * ways;
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
    /// The focus at which edges are as wide as before. An edge's width on the surface is the lens's radius × |way / focus distance - 1| (similar triangles
    /// about the focused plane), so the focus distance goes with the way.
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

    private static float Narrower(float zoom, double factor) => Angles.Degrees(2 * Trig.Atan(Trig.Tan(zoom / 2) / (float)factor));
}
