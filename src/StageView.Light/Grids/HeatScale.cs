using System.Numerics;

namespace StageView.Light.Grids;

/// <summary>Colours for a heat map: dark blue over green to light yellow, lightness rising evenly so that it reads in grey too.</summary>
public static class HeatScale
{
    // Points picked by eye for rising lightness (common practice, no source).
    private static readonly Vector3[] Stops =
    [
        new(0.06f, 0.05f, 0.17f), new(0.17f, 0.16f, 0.42f), new(0.13f, 0.34f, 0.51f), new(0.11f, 0.50f, 0.49f),
        new(0.34f, 0.65f, 0.37f), new(0.66f, 0.77f, 0.27f), new(0.98f, 0.90f, 0.55f),
    ];

    /// <summary>sRGB bytes for a share of the maximum, 0 to 1.</summary>
    public static (byte R, byte G, byte B) Colour(double share)
    {
        var x = (float)Math.Clamp(share, 0, 1) * (Stops.Length - 1);
        var i = Math.Min((int)x, Stops.Length - 2);
        var c = Vector3.Lerp(Stops[i], Stops[i + 1], x - i) * 255;
        return ((byte)MathF.Round(c.X), (byte)MathF.Round(c.Y), (byte)MathF.Round(c.Z));
    }
}
