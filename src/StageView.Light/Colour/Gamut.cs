using System.Numerics;

namespace StageView.Light.Colour;

/// <summary>A convex polygon of chromaticities that a fixture can reach.</summary>
public static class Gamut
{
    /// <summary>All chromaticities that light can have: the spectral locus every 10 nm up to 700 nm, closed by the purple line.</summary>
    public static IReadOnlyList<Vector2> OfAllLight { get; } =
        [.. Enumerable.Range(0, CieObserver.Count).Where(i => CieObserver.Nanometres(i) <= 700).Select(i => Chromaticity.FromXyz(CieObserver.Row(i)))];

    /// <summary>The chromaticity itself where it lies inside; else where the line to the polygon's mean leaves it.</summary>
    /// <param name="corners">CIE 1931 x, y in order, either way round; fewer than three hold everything.</param>
    /// <param name="wanted">CIE 1931 x, y.</param>
    public static Vector2 Nearest(ReadOnlySpan<Vector2> corners, Vector2 wanted)
    {
        if (corners.Length < 3)
        {
            return wanted;
        }

        var middle = Vector2.Zero;
        foreach (var c in corners)
        {
            middle += c / corners.Length;
        }

        var way = wanted - middle;
        var share = 1f;
        for (var i = 0; i < corners.Length; i++)
        {
            var (a, edge) = (corners[i], corners[(i + 1) % corners.Length] - corners[i]);

            // middle + s·way = a + t·edge
            var det = Cross(way, edge);
            if (MathF.Abs(det) < 1e-12f)
            {
                continue;
            }

            var s = Cross(a - middle, edge) / det;
            var t = Cross(a - middle, way) / det;
            if (s > 0 && s < share && t is >= -1e-6f and <= 1.000001f)
            {
                share = s;
            }
        }

        return middle + (way * share);
    }

    private static float Cross(Vector2 a, Vector2 b) => (a.X * b.Y) - (a.Y * b.X);
}
