using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Light.Cautions.Volumes;

/// <summary>A convex polygon as a cone of light sees it, in closed form.</summary>
internal static class ConeMeeting
{
    /// <summary>Smallest angle between an axis and the directions from the apex to a convex polygon, rad, and the point where it is taken.</summary>
    /// <param name="apex">m.</param>
    /// <param name="axis">Unit vector.</param>
    /// <param name="polygon">Convex, plane; in either order.</param>
    /// <param name="normal">Unit normal of its plane, either side.</param>
    /// <param name="point">m.</param>
    public static float Nearest(Vector3 apex, Vector3 axis, ReadOnlySpan<Vector3> polygon, Vector3 normal, out Vector3 point)
    {
        var along = Vector3.Dot(axis, normal);
        var height = Vector3.Dot(polygon[0] - apex, normal);
        if (along != 0 && height / along > 0)
        {
            point = apex + (axis * (height / along));
            if (Holds(polygon, normal, point))
            {
                return 0;
            }
        }

        point = polygon[0];
        var best = -2f;
        var a = polygon[^1];
        foreach (var b in polygon)
        {
            Look(b, ref best, ref point);
            // The direction in the plane of apex and edge that lies closest to the axis is the axis less its part across that plane.
            var m = Vector3.Cross(a - apex, b - apex);
            var size = m.LengthSquared();
            if (size > 1e-20f)
            {
                var q = axis - (m * (Vector3.Dot(m, axis) / size));
                var (start, span) = (Vector3.Dot(Vector3.Cross(a - apex, q), m), Vector3.Dot(Vector3.Cross(b - a, q), m));
                var t = -start / span;
                if (t > 0 && t < 1)
                {
                    Look(a + ((b - a) * t), ref best, ref point);
                }
            }

            a = b;
        }

        return Angle(point - apex, axis);

        void Look(Vector3 p, ref float cosine, ref Vector3 at)
        {
            var to = p - apex;
            var length = to.Length();
            if (length > 1e-9f && Vector3.Dot(to, axis) / length is var c && c > cosine)
            {
                (cosine, at) = (c, p);
            }
        }
    }

    /// <summary>The point of a convex polygon closest to another point.</summary>
    public static Vector3 Closest(Vector3 from, ReadOnlySpan<Vector3> polygon, Vector3 normal)
    {
        var foot = from - (normal * Vector3.Dot(from - polygon[0], normal));
        if (Holds(polygon, normal, foot))
        {
            return foot;
        }

        var (best, closest) = (float.MaxValue, polygon[0]);
        var a = polygon[^1];
        foreach (var b in polygon)
        {
            var edge = b - a;
            var t = Math.Clamp(Vector3.Dot(foot - a, edge) / MathF.Max(edge.LengthSquared(), 1e-20f), 0, 1);
            var p = a + (edge * t);
            var d = Vector3.DistanceSquared(p, foot);
            (best, closest) = d < best ? (d, p) : (best, closest);
            a = b;
        }

        return closest;
    }

    /// <summary>Angle between a vector of any length and a unit vector, rad; exact for small angles too.</summary>
    public static float Angle(Vector3 to, Vector3 axis) => Trig.Atan2(Vector3.Cross(to, axis).Length(), Vector3.Dot(to, axis));

    private static bool Holds(ReadOnlySpan<Vector3> polygon, Vector3 normal, Vector3 p)
    {
        var (left, right) = (true, true);
        var a = polygon[^1];
        foreach (var b in polygon)
        {
            var side = Vector3.Dot(Vector3.Cross(b - a, p - a), normal);
            left &= side >= 0;
            right &= side <= 0;
            a = b;
        }

        return left || right;
    }
}
