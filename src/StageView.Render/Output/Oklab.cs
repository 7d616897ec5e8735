using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Render.Output;

/// <summary>
/// Oklab, a space of even lightness, chroma and hue: B. Ottosson, "A perceptual color space for image processing", 2020
/// (the matrices for linear Rec.709). X is lightness (1 for white), Y and Z are a and b; scaling the light scales all three alike, so hue does not depend on
/// exposure.
/// </summary>
public static class Oklab
{
    /// <summary>Halvings of the chroma search in <see cref="ToGamut"/>: 1/1024 of the chroma at most is given up too much.</summary>
    public const int GamutSteps = 10;

    public static Vector3 FromLinear(Vector3 c)
    {
        var l = Trig.Cbrt((0.4122214708f * c.X) + (0.5363325363f * c.Y) + (0.0514459929f * c.Z));
        var m = Trig.Cbrt((0.2119034982f * c.X) + (0.6806995451f * c.Y) + (0.1073969566f * c.Z));
        var s = Trig.Cbrt((0.0883024619f * c.X) + (0.2817188376f * c.Y) + (0.6299787005f * c.Z));
        return new Vector3(
            (0.2104542553f * l) + (0.7936177850f * m) - (0.0040720468f * s),
            (1.9779984951f * l) - (2.4285922050f * m) + (0.4505937099f * s),
            (0.0259040371f * l) + (0.7827717662f * m) - (0.8086757660f * s));
    }

    public static Vector3 ToLinear(Vector3 lab)
    {
        var l = lab.X + (0.3963377774f * lab.Y) + (0.2158037573f * lab.Z);
        var m = lab.X - (0.1055613458f * lab.Y) - (0.0638541728f * lab.Z);
        var s = lab.X - (0.0894841775f * lab.Y) - (1.2914855480f * lab.Z);
        (l, m, s) = (l * l * l, m * m * m, s * s * s);
        return new Vector3(
            (4.0767416621f * l) - (3.3077115913f * m) + (0.2309699292f * s),
            (-1.2684380046f * l) + (2.6097574011f * m) - (0.3413193965f * s),
            (-0.0041960863f * l) - (0.7034186147f * m) + (1.7076147010f * s));
    }

    /// <summary>Hue angle of a linear Rec.709 colour, degrees, -180 to 180.</summary>
    public static float HueDegrees(Vector3 linear)
    {
        var lab = FromLinear(linear);
        return Trig.Atan2(lab.Z, lab.Y) * (180f / MathF.PI);
    }

    /// <summary>The colour of the same Oklab lightness and hue, with as much of its chroma as Rec.709 holds.</summary>
    public static Vector3 ToGamut(Vector3 lab)
    {
        lab.X = Math.Clamp(lab.X, 0, 1);
        var c = ToLinear(lab);
        if (!Inside(c))
        {
            float keep = 0, lose = 1;
            for (var i = 0; i < GamutSteps; i++)
            {
                var t = 0.5f * (keep + lose);
                if (Inside(ToLinear(new Vector3(lab.X, lab.Y * t, lab.Z * t))))
                {
                    keep = t;
                }
                else
                {
                    lose = t;
                }
            }

            c = ToLinear(new Vector3(lab.X, lab.Y * keep, lab.Z * keep));
        }

        return Vector3.Clamp(c, Vector3.Zero, Vector3.One);
    }

    // The slack hides rounding of the matrices, so that a colour on the gamut's edge is left alone.
    private static bool Inside(Vector3 c) =>
        MathF.Min(c.X, MathF.Min(c.Y, c.Z)) >= -2e-4f && MathF.Max(c.X, MathF.Max(c.Y, c.Z)) <= 1.0002f;
}
