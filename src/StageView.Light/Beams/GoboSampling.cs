using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Light.Beams;

/// <summary>Where a direction passes a gobo.</summary>
/// <remarks>
/// The gobo's inscribed circle fills the beam up to its cut-off with the iris open: a direction at x along
/// <see cref="Beam.Right"/> and y along <see cref="Beam.Up"/> per unit along the axis falls on (x, y)·iris / tan(cut-off),
/// from -1 to 1, shifted by -<see cref="GoboState.OffsetX"/> along x, then turned back by the rotation; +y is the image's top.
/// Outside the circle there is no light. <c>shaders/include/beamlight.glsl</c> is the GPU twin.
/// </remarks>
public static class GoboSampling
{
    /// <summary>
    /// Transmission in each colour for a unit direction; (1, 1, 1) when the beam has no gobo. Several multiply. Sharp: focus is not applied; frost fades each
    /// to its mean.
    /// </summary>
    public static Vector3 Transmission(Moment moment, in Beam beam, Vector3 direction)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var number = beam.Gobo.Image;
        if (number <= 0 || number > moment.GoboImages.Count)
        {
            return Vector3.One;
        }

        var along = Vector3.Dot(direction, beam.Axis);
        if (along <= 0)
        {
            return Vector3.Zero;
        }

        var scale = Scale(beam) / along;
        var at = new Vector2(Vector3.Dot(direction, beam.Right) * scale, Vector3.Dot(direction, beam.Up) * scale);
        var sum = Through(moment, beam.Gobo, at, beam.Frost);
        return beam.SecondGobo.Image == 0 || sum == Vector3.Zero ? sum
            : sum * Through(moment, beam.SecondGobo, at, beam.Frost) * Through(moment, beam.ThirdGobo, at, beam.Frost);
    }

    /// <summary>From where a direction meets the plane at unit distance to units of the field radius.</summary>
    public static float Scale(in Beam beam) => MathF.Max(beam.Iris, 0.02f) / Trig.Tan(MathF.Min(beam.Profile.CutoffRadians, 1.55f));

    /// <summary>Transmission of one gobo at a place of the field, in units of its radius.</summary>
    private static Vector3 Through(Moment moment, in GoboState gobo, Vector2 at, float frost)
    {
        if (gobo.Image <= 0 || gobo.Image > moment.GoboImages.Count)
        {
            return Vector3.One;
        }

        var image = moment.GoboImages[gobo.Image - 1];
        var (x, y) = (at.X - gobo.OffsetX, at.Y);
        if (gobo.Radius > 0)
        {
            (x, y) = (x / gobo.Radius, y / gobo.Radius);
        }

        var (sin, cos) = Trig.SinCos(-gobo.RotationRadians);
        var (u, v) = ((x * cos) - (y * sin), (x * sin) + (y * cos));
        if ((u * u) + (v * v) > 1)
        {
            return Vector3.Zero;
        }

        var sharp = Bilinear(image, (u + 1) * 0.5f * image.Size, (1 - v) * 0.5f * image.Size);
        return Vector3.Lerp(sharp, new Vector3(image.Transmission), Math.Clamp(frost, 0, 1));
    }

    private static Vector3 Bilinear(GoboImage image, float column, float row)
    {
        var (x, y) = (column - 0.5f, row - 0.5f);
        var (x0, y0) = ((int)MathF.Floor(x), (int)MathF.Floor(y));
        var (fx, fy) = (x - x0, y - y0);
        return Vector3.Lerp(
            Vector3.Lerp(Texel(image, x0, y0), Texel(image, x0 + 1, y0), fx),
            Vector3.Lerp(Texel(image, x0, y0 + 1), Texel(image, x0 + 1, y0 + 1), fx),
            fy);
    }

    private static Vector3 Texel(GoboImage image, int x, int y)
    {
        var at = 3 * ((Math.Clamp(y, 0, image.Size - 1) * image.Size) + Math.Clamp(x, 0, image.Size - 1));
        return new Vector3(image.Rgb[at], image.Rgb[at + 1], image.Rgb[at + 2]) / 255f;
    }
}
