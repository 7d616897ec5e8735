using System.Numerics;

namespace StageView.Light.Cautions.Moving;

/// <summary>Convex hulls on the ground plan.</summary>
internal static class PlanHull
{
    /// <summary>The hull of a solid's corners seen from above (Andrew's monotone chain), counter-clockwise; returns its points.</summary>
    public static int Of(in Solid solid, Span<Vector2> hull)
    {
        Span<Vector3> corners = stackalloc Vector3[8];
        var count = solid.Corners(corners);
        Span<Vector2> points = stackalloc Vector2[8];
        for (var k = 0; k < count; k++)
        {
            points[k] = new Vector2(corners[k].X, corners[k].Y);
        }

        points = points[..count];
        points.Sort(static (a, b) => a.X != b.X ? a.X.CompareTo(b.X) : a.Y.CompareTo(b.Y));
        Span<Vector2> chain = stackalloc Vector2[18];
        var n = 0;
        for (var pass = 0; pass < 2; pass++)
        {
            var floor = n + 1;
            for (var i = 0; i < count; i++)
            {
                var p = points[pass == 0 ? i : count - 1 - i];
                while (n > floor && Turn(chain[n - 2], chain[n - 1], p) <= 0)
                {
                    n--;
                }

                chain[n++] = p;
            }

            n--;
        }

        n = Math.Clamp(n, 1, hull.Length);
        chain[..n].CopyTo(hull);
        return n;
    }

    /// <summary>Least distance between two convex polygons (or segments, or points); 0 when they overlap.</summary>
    public static float Distance(ReadOnlySpan<Vector2> a, ReadOnlySpan<Vector2> b)
    {
        if (Holds(a, b[0]) || Holds(b, a[0]))
        {
            return 0;
        }

        var best = float.MaxValue;
        for (var i = 0; i < a.Length; i++)
        {
            for (var k = 0; k < b.Length; k++)
            {
                best = MathF.Min(best, Distances.Segments(Flat(a[i]), Flat(a[(i + 1) % a.Length]), Flat(b[k]), Flat(b[(k + 1) % b.Length])).Metres);
            }
        }

        return best;
    }

    private static bool Holds(ReadOnlySpan<Vector2> polygon, Vector2 p)
    {
        if (polygon.Length < 3)
        {
            return false;
        }

        for (var i = 0; i < polygon.Length; i++)
        {
            if (Turn(polygon[i], polygon[(i + 1) % polygon.Length], p) < 0)
            {
                return false;
            }
        }

        return true;
    }

    private static float Turn(Vector2 a, Vector2 b, Vector2 c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));

    private static Vector3 Flat(Vector2 p) => new(p, 0);
}
