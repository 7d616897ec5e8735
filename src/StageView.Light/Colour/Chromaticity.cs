using System.Numerics;

namespace StageView.Light.Colour;

/// <summary>Conversions between CIE XYZ, chromaticities and linear Rec.709 (D65). Out-of-gamut parts stay negative.</summary>
public static class Chromaticity
{
    /// <summary>Luminance of linear Rec.709 components: ITU-R BT.709's .2126, .7152, .0722.</summary>
    public static float Luminance(Vector3 rec709) => Vector3.Dot(rec709, new Vector3(.2126f, .7152f, .0722f));

    /// <summary>XYZ to linear Rec.709: the inverse of the matrix that follows from BT.709's primaries and D65 (.3127, .3290).</summary>
    public static Vector3 XyzToRec709(Vector3 xyz) => new(
        (3.2409699f * xyz.X) - (1.5373832f * xyz.Y) - (0.4986108f * xyz.Z),
        (-0.9692436f * xyz.X) + (1.8759675f * xyz.Y) + (0.0415551f * xyz.Z),
        (0.0556301f * xyz.X) - (0.2039770f * xyz.Y) + (1.0569715f * xyz.Z));

    public static Vector3 Rec709ToXyz(Vector3 rgb) => new(
        (0.4123908f * rgb.X) + (0.3575843f * rgb.Y) + (0.1804808f * rgb.Z),
        (0.2126390f * rgb.X) + (0.7151687f * rgb.Y) + (0.0721923f * rgb.Z),
        (0.0193308f * rgb.X) + (0.1191948f * rgb.Y) + (0.9505322f * rgb.Z));

    /// <summary>XYZ of luminance Y at chromaticity x, y: X = (x/y)Y, Z = ((1-x-y)/y)Y.</summary>
    public static Vector3 ToXyz(float x, float y, float luminance = 1) =>
        y <= 0 ? Vector3.Zero : new Vector3(x / y * luminance, luminance, (1 - x - y) / y * luminance);

    /// <summary>Chromaticity of XYZ; 0, 0 for black.</summary>
    public static Vector2 FromXyz(Vector3 xyz)
    {
        var sum = xyz.X + xyz.Y + xyz.Z;
        return sum <= 0 ? Vector2.Zero : new Vector2(xyz.X / sum, xyz.Y / sum);
    }

    /// <summary>IEC 61966-2-1 decoding of one sRGB component, 0 to 1.</summary>
    public static float SrgbToLinear(float v) => v <= .04045f ? v / 12.92f : MathF.Pow((v + .055f) / 1.055f, 2.4f);
}
