using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Light.Geometry;

/// <summary>Convex planar polygons in space, as seen from a point: clipping, solid angle, angle to an axis. Allocates nothing.</summary>
internal static class ConvexClip
{
    /// <summary>Room that callers give each polygon buffer.</summary>
    public const int Capacity = 64;

    /// <summary>Sutherland-Hodgman against one half space: keeps what has n·p + d ≥ 0. Returns the number of points written.</summary>
    public static int ByPlane(ReadOnlySpan<Vector3> polygon, Vector3 n, float d, Span<Vector3> kept)
    {
        if (polygon.IsEmpty)
        {
            return 0;
        }

        var count = 0;
        var a = polygon[^1];
        var da = Vector3.Dot(n, a) + d;
        foreach (var b in polygon)
        {
            var db = Vector3.Dot(n, b) + d;
            if (da >= 0 != db >= 0 && count < kept.Length)
            {
                kept[count++] = a + ((b - a) * (da / (da - db)));
            }

            if (db >= 0 && count < kept.Length)
            {
                kept[count++] = b;
            }

            a = b;
            da = db;
        }

        return count < 3 ? 0 : count;
    }

    /// <summary>
    /// Clips <paramref name="polygon"/> in place by the pyramid from <paramref name="apex"/> through <paramref name="window"/>
    /// (counter-clockwise seen from the far side). Returns the number of points left.
    /// </summary>
    public static int ByPyramid(Span<Vector3> polygon, int count, Vector3 apex, ReadOnlySpan<Vector3> window, Span<Vector3> spare)
    {
        for (var i = 0; i < window.Length && count > 0; i++)
        {
            var n = EdgePlane(apex, window[i], window[(i + 1) % window.Length]);
            if (n == Vector3.Zero)
            {
                continue;
            }

            count = ByPlane(polygon[..count], n, -Vector3.Dot(n, apex), spare);
            spare[..count].CopyTo(polygon);
        }

        return count;
    }

    /// <summary>
    /// Unit normal, pointing inwards, of the plane through the apex and an edge of a window that is counter-clockwise seen from the far side.
    /// </summary>
    public static Vector3 EdgePlane(Vector3 apex, Vector3 a, Vector3 b)
    {
        var n = Vector3.Cross(a - apex, b - apex);
        var length = n.Length();
        return length < 1e-12f ? Vector3.Zero : n / length;
    }

    /// <summary>True when the ray from the apex to <paramref name="point"/> passes through the window.</summary>
    public static bool Sees(Vector3 apex, ReadOnlySpan<Vector3> window, Vector3 point)
    {
        var p = point - apex;
        var a = window[^1] - apex;
        for (var i = 0; i < window.Length; i++)
        {
            var b = window[i] - apex;
            if (Vector3.Dot(Vector3.Cross(a, b), p) < 0)
            {
                return false;
            }

            a = b;
        }

        return true;
    }

    /// <summary>True when a point of a polygon's plane lies in it; counter-clockwise about the normal.</summary>
    public static bool Inside(ReadOnlySpan<Vector3> outline, Vector3 normal, Vector3 p)
    {
        var a = outline[^1];
        foreach (var b in outline)
        {
            if (Vector3.Dot(Vector3.Cross(b - a, p - a), normal) < 0)
            {
                return false;
            }

            a = b;
        }

        return true;
    }

    /// <summary>
    /// Removes points closer than a micrometre to their neighbour, then the points that cost least area, until at most <paramref name="most"/> are left: the
    /// polygon can only shrink.
    /// </summary>
    public static int Thin(Span<Vector3> polygon, int count, int most)
    {
        for (var i = 0; i < count;)
        {
            if (Vector3.DistanceSquared(polygon[i], polygon[(i + 1) % count]) < 1e-12f)
            {
                polygon[(i + 1)..count].CopyTo(polygon[i..]);
                count--;
            }
            else
            {
                i++;
            }
        }

        while (count > most)
        {
            var best = 0;
            var bestArea = float.MaxValue;
            for (var i = 0; i < count; i++)
            {
                var b = polygon[i];
                var area = Vector3.Cross(b - polygon[(i + count - 1) % count], polygon[(i + 1) % count] - b).LengthSquared();
                if (area < bestArea)
                {
                    (best, bestArea) = (i, area);
                }
            }

            polygon[(best + 1)..count].CopyTo(polygon[best..]);
            count--;
        }

        return count < 3 ? 0 : count;
    }

    /// <summary>Solid angle of a convex polygon from a point, sr (Van Oosterom and Strackee 1983, summed over a fan).</summary>
    public static double SolidAngle(Vector3 apex, ReadOnlySpan<Vector3> polygon)
    {
        double sum = 0;
        for (var i = 1; i + 1 < polygon.Length; i++)
        {
            var (a, b, c) = (polygon[0] - apex, polygon[i] - apex, polygon[i + 1] - apex);
            double la = a.Length(), lb = b.Length(), lc = c.Length();
            double triple = Vector3.Dot(a, Vector3.Cross(b, c));
            var below = (la * lb * lc) + (Vector3.Dot(a, b) * lc) + (Vector3.Dot(b, c) * la) + (Vector3.Dot(c, a) * lb);
            sum += 2 * Math.Atan2(triple, below);
        }

        return Math.Abs(sum);
    }

    /// <summary>
    /// Smallest angle between an axis and the directions from the apex into the polygon (counter-clockwise seen from the far side), rad; 0 when the axis passes
    /// through it.
    /// </summary>
    public static float AngleTo(Vector3 apex, Vector3 axis, ReadOnlySpan<Vector3> polygon)
    {
        var inside = true;
        var best = MathF.PI;
        var a = Vector3.Normalize(polygon[^1] - apex);
        foreach (var point in polygon)
        {
            var b = Vector3.Normalize(point - apex);
            best = MathF.Min(best, Trig.Acos(Math.Clamp(Vector3.Dot(axis, b), -1, 1)));
            var m = Vector3.Cross(a, b);
            var length = m.Length();
            if (length > 1e-9f)
            {
                m /= length;
                var off = Vector3.Dot(m, axis);
                inside &= off >= 0;
                var q = axis - (m * off);
                if (Vector3.Dot(Vector3.Cross(a, q), m) >= 0 && Vector3.Dot(Vector3.Cross(q, b), m) >= 0)
                {
                    best = MathF.Min(best, Trig.Asin(MathF.Min(1, MathF.Abs(off))));
                }
            }

            a = b;
        }

        return inside ? 0 : best;
    }
}
