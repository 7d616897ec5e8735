using System.Numerics;

namespace StageView.Light;

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

    /// <summary>A map as RGBA rows, one square of <paramref name="pixels"/> a point, row 0 of the grid at the bottom: ready for any PNG writer.</summary>
    public static byte[] Rgba(LuxMap map, int pixels, out int width, out int height)
    {
        ArgumentNullException.ThrowIfNull(map);
        (width, height) = (map.Grid.CountU * pixels, map.Grid.CountV * pixels);
        var rgba = new byte[4 * width * height];
        var most = Math.Max(map.Maximum, 1e-9);
        for (var y = 0; y < height; y++)
        {
            var v = map.Grid.CountV - 1 - (y / pixels);
            for (var x = 0; x < width; x++)
            {
                var (r, g, b) = Colour(map.Lux[(v * map.Grid.CountU) + (x / pixels)] / most);
                var at = 4 * ((y * width) + x);
                (rgba[at], rgba[at + 1], rgba[at + 2], rgba[at + 3]) = (r, g, b, 255);
            }
        }

        return rgba;
    }
}
