using System.Numerics;

namespace StageView.Ground.Drawings;

/// <summary>Outlines in the plane of a drawing.</summary>
public static class Outlines
{
    /// <summary>Convex hull by Andrew's monotone chain.</summary>
    public static Vector2[] Hull(IEnumerable<Vector2> points)
    {
        var p = points.Distinct().OrderBy(v => v.X).ThenBy(v => v.Y).ToArray();
        if (p.Length < 3)
        {
            return p;
        }

        var hull = new Vector2[2 * p.Length];
        var n = 0;
        static float Turn(Vector2 o, Vector2 a, Vector2 b) => ((a.X - o.X) * (b.Y - o.Y)) - ((a.Y - o.Y) * (b.X - o.X));
        for (var pass = 0; pass < 2; pass++)
        {
            var floor = n + 1;
            for (var i = 0; i < p.Length; i++)
            {
                var v = pass == 0 ? p[i] : p[p.Length - 1 - i];
                while (n > floor && Turn(hull[n - 2], hull[n - 1], v) <= 0)
                {
                    n--;
                }

                hull[n++] = v;
            }

            n--;
        }

        return hull[..n];
    }

    /// <summary>Outlines that lie within another become its hollows; those within a hollow stand alone again.</summary>
    public static List<(Vector2[] Outer, Vector2[][] Holes)> Nested(IReadOnlyList<Vector2[]> loops)
    {
        var around = loops.Select((a, i) => loops.Where((b, k) => k != i && Array.TrueForAll(a, p => Holds(b, p))).ToArray()).ToArray();
        return [.. loops.Select((l, i) => (l, i)).Where(x => around[x.i].Length % 2 == 0)
            .Select(x => (x.l, loops.Where((_, k) => around[k].Length == around[x.i].Length + 1 && around[k].Contains(x.l)).ToArray()))];
    }

    /// <summary>Whether a point lies inside, by the crossings of a ray to +x.</summary>
    private static bool Holds(Vector2[] outline, Vector2 p)
    {
        var inside = false;
        for (var i = 0; i < outline.Length; i++)
        {
            var (a, b) = (outline[i], outline[(i + 1) % outline.Length]);
            inside ^= (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X + ((p.Y - a.Y) / (b.Y - a.Y) * (b.X - a.X));
        }

        return inside;
    }

    /// <summary>An outline within a rectangle (Sutherland and Hodgman, 1974).</summary>
    public static Vector2[] Cut(Vector2[] outline, Vector2 low, Vector2 high)
    {
        List<Vector2> points = [.. outline];
        foreach (var (normal, least) in (ReadOnlySpan<(Vector2, float)>)[(Vector2.UnitX, low.X), (-Vector2.UnitX, -high.X), (Vector2.UnitY, low.Y),
            (-Vector2.UnitY, -high.Y)])
        {
            var kept = new List<Vector2>();
            for (var i = 0; i < points.Count; i++)
            {
                var (a, b) = (points[i], points[(i + 1) % points.Count]);
                var (da, db) = (Vector2.Dot(a, normal) - least, Vector2.Dot(b, normal) - least);
                if (da >= 0)
                {
                    kept.Add(a);
                }

                if (da * db < 0)
                {
                    kept.Add(Vector2.Lerp(a, b, da / (da - db)));
                }
            }

            points = kept;
        }

        return [.. points];
    }
}
