using System.Numerics;

namespace StageView.Show.Snap;

/// <summary>Convex outlines in the picture, as shares of its sides.</summary>
internal static class ScreenHull
{
    /// <summary>The convex hull of some points (monotone chain, Andrew 1979), cut by the picture's sides; empty when nothing of it is seen.</summary>
    public static Vector2[] Of(IEnumerable<Vector2> points)
    {
        var sorted = points.Distinct().OrderBy(p => p.X).ThenBy(p => p.Y).ToList();
        if (sorted.Count < 3)
        {
            return [];
        }

        var hull = new List<Vector2>();
        for (var pass = 0; pass < 2; pass++)
        {
            var least = hull.Count + 1;
            foreach (var p in sorted)
            {
                while (hull.Count > least && Turn(hull[^2], hull[^1], p) <= 0)
                {
                    hull.RemoveAt(hull.Count - 1);
                }

                hull.Add(p);
            }

            hull.RemoveAt(hull.Count - 1);
            sorted.Reverse();
        }

        return Cut(hull);
    }

    private static Vector2[] Cut(List<Vector2> hull)
    {
        (Vector2 Normal, float Offset)[] sides = [(Vector2.UnitX, 0), (-Vector2.UnitX, 1), (Vector2.UnitY, 0), (-Vector2.UnitY, 1)];
        foreach (var (n, offset) in sides)
        {
            var kept = new List<Vector2>();
            for (var i = 0; i < hull.Count; i++)
            {
                var (a, b) = (hull[i], hull[(i + 1) % hull.Count]);
                var (da, db) = (Vector2.Dot(n, a) + offset, Vector2.Dot(n, b) + offset);
                if (da >= 0)
                {
                    kept.Add(a);
                }

                if (da >= 0 != db >= 0)
                {
                    kept.Add(a + ((b - a) * (da / (da - db))));
                }
            }

            hull = kept;
            if (hull.Count < 3)
            {
                return [];
            }
        }

        return [.. hull];
    }

    private static float Turn(Vector2 a, Vector2 b, Vector2 c) => ((b.X - a.X) * (c.Y - a.Y)) - ((b.Y - a.Y) * (c.X - a.X));
}
