using System.Numerics;

namespace StageView.Light.Grids;

/// <summary>
/// The colours of illuminance, in maps and over pictures: dark violet over red and orange to a pale yellow, lightness rising evenly so that
/// they read in grey too.
/// </summary>
public static class HeatScale
{
    // In Oklab (B. Ottosson, "A perceptual color space for image processing", 2020), for a share s: lightness .22 + .73 s, hue 285 + 185 s degrees,
    // chroma .13 sin(π(.15 + .75 s)) or as much as Rec.709 holds; as sRGB bytes at each tenth. The path is our own choice.
    private static readonly Vector3[] Stops =
    [
        new(24, 21, 52), new(53, 31, 78), new(87, 40, 95), new(124, 51, 102), new(159, 66, 101), new(188, 88, 95),
        new(209, 116, 91), new(222, 148, 98), new(227, 182, 123), new(231, 214, 164), new(240, 241, 211),
    ];

    /// <summary>sRGB bytes for a share of the maximum, 0 to 1; between the stops straight, within 3 of the path.</summary>
    public static (byte R, byte G, byte B) Colour(double share)
    {
        var x = (float)Math.Clamp(share, 0, 1) * (Stops.Length - 1);
        var i = Math.Min((int)x, Stops.Length - 2);
        var c = Vector3.Lerp(Stops[i], Stops[i + 1], x - i);
        return ((byte)MathF.Round(c.X), (byte)MathF.Round(c.Y), (byte)MathF.Round(c.Z));
    }
}
