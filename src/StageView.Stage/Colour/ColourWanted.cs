using System.Globalization;
using System.Numerics;
using StageView.Light.Colour;

namespace StageView.Stage.Colour;

/// <summary>A colour as someone writes it: <c>#ff8800</c>, <c>3200K</c>, or CIE 1931 <c>[x, y]</c>.</summary>
/// <param name="X">CIE 1931 x.</param>
/// <param name="Y">CIE 1931 y.</param>
/// <param name="Kelvin">Colour temperature when it was written so, or 0.</param>
/// <param name="Rgb">Linear Rec.709 with the largest component 1 (for pixels, the colour's own brightness).</param>
public readonly record struct ColourWanted(float X, float Y, float Kelvin, Vector3 Rgb)
{
    /// <summary>XYZ with Y = 1.</summary>
    public Vector3 Xyz => Chromaticity.ToXyz(X, Y);

    public static bool TryParse(string text, out ColourWanted colour)
    {
        colour = default;
        text = text.Trim();
        if (text.Length == 7 && text[0] == '#' && int.TryParse(text.AsSpan(1), NumberStyles.HexNumber, CultureInfo.InvariantCulture, out var hex))
        {
            var rgb = new Vector3(
                Chromaticity.SrgbToLinear(((hex >> 16) & 255) / 255f),
                Chromaticity.SrgbToLinear(((hex >> 8) & 255) / 255f),
                Chromaticity.SrgbToLinear((hex & 255) / 255f));
            colour = Of(rgb);
            return true;
        }

        if (text.EndsWith('K') && float.TryParse(text.AsSpan(0, text.Length - 1), NumberStyles.Float, CultureInfo.InvariantCulture, out var kelvin)
            && kelvin is >= 1667 and <= 25000)
        {
            var c = Planckian.Locus(kelvin);
            colour = At(c.X, c.Y) with { Kelvin = kelvin };
            return true;
        }

        return false;
    }

    /// <summary>Linear Rec.709; black counts as white that is dark.</summary>
    public static ColourWanted Of(Vector3 rgb)
    {
        var c = rgb == Vector3.Zero ? new Vector2(.3127f, .3290f) : Chromaticity.FromXyz(Chromaticity.Rec709ToXyz(rgb));
        return new ColourWanted(c.X, c.Y, 0, rgb);
    }

    public static ColourWanted At(float x, float y)
    {
        var rgb = Vector3.Max(Vector3.Zero, Chromaticity.XyzToRec709(Chromaticity.ToXyz(x, y)));
        return new ColourWanted(x, y, 0, rgb / MathF.Max(1e-6f, MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z))));
    }
}
