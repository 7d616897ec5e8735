using System.Numerics;
using SkiaSharp;
using StageView.Ground.Numbers;
using StageView.Render.Output;

namespace StageView.Render.Aids;

/// <summary>Colours of the reading aids, all chosen in Oklab so that equal steps look equal. None of them is the only sign of anything.</summary>
internal static class AidColours
{
    public static SKColor Ink => new(240, 240, 240);

    /// <summary>Under text, so that it reads on any picture.</summary>
    public static SKColor Plate => new(12, 12, 14, 200);

    /// <summary>Under scales, whose colours must not mix with the picture's.</summary>
    public static SKColor Panel => new(12, 12, 14);

    public static SKColor Halo => new(0, 0, 0, 170);

    /// <summary>Light plate of a universe, to carry black digits: neighbours in number are 137.5 degrees of hue apart.</summary>
    public static SKColor Universe(int number) => FromOklch(0.80f, 0.12f, number * 137.508f % 360);

    /// <summary>A beam's own hue, light enough to be seen on black.</summary>
    public static SKColor OfLight(Vector3 colour)
    {
        var most = MathF.Max(colour.X, MathF.Max(colour.Y, colour.Z));
        if (!(most > 0))
        {
            return Ink;
        }

        var lab = Oklab.FromLinear(colour / most);
        return From(Oklab.ToGamut(lab with { X = MathF.Max(lab.X, 0.75f) }));
    }

    private static SKColor FromOklch(float lightness, float chroma, float hueDegrees)
    {
        var (sin, cos) = Trig.SinCos(hueDegrees * (MathF.PI / 180));
        return From(Oklab.ToGamut(new(lightness, chroma * cos, chroma * sin)));
    }

    private static SKColor From(Vector3 linear) => new(Srgb.Encode8(linear.X), Srgb.Encode8(linear.Y), Srgb.Encode8(linear.Z));
}
