using System.Numerics;

namespace StageView.Light.Cautions.Moving;

/// <summary>
/// Least distances in closed form. Between two boxes it is taken between a corner and a box or between two edges, between a bar and a box between an end
/// and the
/// box or the bar and an edge, unless they overlap (separating axes: Gottschalk, Lin and Manocha 1996; segments: Ericson, Real-Time Collision Detection,
/// 5.1.9).
/// </summary>
public static class Distances
{
    /// <summary>Least distance between two solids.</summary>
    public static Clearance Between(in Solid a, in Solid b)
    {
        if (a.IsBox && b.IsBox)
        {
            return BoxBox(a, b);
        }

        if (!a.IsBox && !b.IsBox)
        {
            return Shrunk(Segments(a.A, a.B, b.A, b.B), a.Radius, b.Radius);
        }

        return a.IsBox ? Between(b, a).Turned() : Shrunk(SegmentBox(a.A, a.B, b), a.Radius, 0);
    }

    /// <summary>Least distance between their shadows on the ground, m; 0 when one is over the other.</summary>
    public static float Plan(in Solid a, in Solid b)
    {
        Span<Vector2> pa = stackalloc Vector2[9];
        Span<Vector2> pb = stackalloc Vector2[9];
        var (na, nb) = (PlanHull.Of(a, pa), PlanHull.Of(b, pb));
        return MathF.Max(0, PlanHull.Distance(pa[..na], pb[..nb]) - a.Radius - b.Radius);
    }

    /// <summary>Least distance between two segments.</summary>
    public static Clearance Segments(Vector3 p1, Vector3 q1, Vector3 p2, Vector3 q2)
    {
        var (d1, d2, r) = (q1 - p1, q2 - p2, p1 - p2);
        var (a, e, f) = (d1.LengthSquared(), d2.LengthSquared(), Vector3.Dot(d2, r));
        float s, t;
        const float tiny = 1e-12f;
        if (a <= tiny)
        {
            (s, t) = (0, e <= tiny ? 0 : Math.Clamp(f / e, 0, 1));
        }
        else
        {
            var c = Vector3.Dot(d1, r);
            if (e <= tiny)
            {
                (s, t) = (Math.Clamp(-c / a, 0, 1), 0);
            }
            else
            {
                var b = Vector3.Dot(d1, d2);
                var determinant = (a * e) - (b * b);
                s = determinant > 1e-7f * a * e ? Math.Clamp(((b * f) - (c * e)) / determinant, 0, 1) : 0;
                t = ((b * s) + f) / e;
                if (t < 0)
                {
                    (s, t) = (Math.Clamp(-c / a, 0, 1), 0);
                }
                else if (t > 1)
                {
                    (s, t) = (Math.Clamp((b - c) / a, 0, 1), 1);
                }
            }
        }

        var (x, y) = (p1 + (d1 * s), p2 + (d2 * t));
        return new Clearance(Vector3.Distance(x, y), x, y);
    }

    private static Clearance SegmentBox(Vector3 p, Vector3 q, in Solid box)
    {
        var (a, b) = (box.Pose.InverseTransformPoint(p), box.Pose.InverseTransformPoint(q));
        if (Pierces(a, b - a, box.Half, out var at))
        {
            var point = box.Pose.TransformPoint(at);
            return new Clearance(0, point, point);
        }

        var best = Nearer(PointBox(a, box.Half), PointBox(b, box.Half));
        for (var edge = 0; edge < 12; edge++)
        {
            Edge(box.Half, edge, out var from, out var to);
            best = Nearer(best, Segments(a, b, from, to));
        }

        return new Clearance(best.Metres, box.Pose.TransformPoint(best.PointA), box.Pose.TransformPoint(best.PointB));
    }

    private static Clearance BoxBox(in Solid a, in Solid b)
    {
        if (Overlap(a, b))
        {
            return new Clearance(0, a.Middle, b.Middle);
        }

        Span<Vector3> corners = stackalloc Vector3[8];
        var best = new Clearance(float.MaxValue, default, default);
        for (var turn = 0; turn < 2; turn++)
        {
            var (of, box) = turn == 0 ? (b, a) : (a, b);
            of.Corners(corners);
            foreach (var corner in corners)
            {
                var c = PointBox(box.Pose.InverseTransformPoint(corner), box.Half);
                var found = new Clearance(c.Metres, corner, box.Pose.TransformPoint(c.PointB));
                best = Nearer(best, turn == 0 ? found.Turned() : found);
            }
        }

        for (var i = 0; i < 12; i++)
        {
            Edge(a.Half, i, out var from, out var to);
            (from, to) = (a.Pose.TransformPoint(from), a.Pose.TransformPoint(to));
            for (var k = 0; k < 12; k++)
            {
                Edge(b.Half, k, out var p, out var q);
                best = Nearer(best, Segments(from, to, b.Pose.TransformPoint(p), b.Pose.TransformPoint(q)));
            }
        }

        return best;
    }

    /// <summary>Whether two boxes overlap, by the fifteen axes that could separate them.</summary>
    private static bool Overlap(in Solid a, in Solid b)
    {
        Span<Vector3> axes = stackalloc Vector3[6];
        for (var k = 0; k < 3; k++)
        {
            axes[k] = a.Pose.TransformDirection(Unit(k));
            axes[3 + k] = b.Pose.TransformDirection(Unit(k));
        }

        var to = b.Pose.Position - a.Pose.Position;
        for (var k = 0; k < 15; k++)
        {
            var axis = k < 6 ? axes[k] : Vector3.Cross(axes[(k - 6) / 3], axes[3 + ((k - 6) % 3)]);
            if (axis.LengthSquared() < 1e-8f)
            {
                continue;
            }

            var reach = 0f;
            for (var i = 0; i < 3; i++)
            {
                reach += (a.Half[i] * MathF.Abs(Vector3.Dot(axes[i], axis))) + (b.Half[i] * MathF.Abs(Vector3.Dot(axes[3 + i], axis)));
            }

            if (MathF.Abs(Vector3.Dot(to, axis)) > reach)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>From a point to the nearest of a box about the origin; itself when inside.</summary>
    private static Clearance PointBox(Vector3 point, Vector3 half)
    {
        var nearest = Vector3.Clamp(point, -half, half);
        return new Clearance(Vector3.Distance(point, nearest), point, nearest);
    }

    private static bool Pierces(Vector3 o, Vector3 d, Vector3 half, out Vector3 at)
    {
        var (from, to) = (0f, 1f);
        at = o;
        for (var axis = 0; axis < 3; axis++)
        {
            if (MathF.Abs(d[axis]) < 1e-12f)
            {
                if (MathF.Abs(o[axis]) > half[axis])
                {
                    return false;
                }

                continue;
            }

            var (t0, t1) = ((-half[axis] - o[axis]) / d[axis], (half[axis] - o[axis]) / d[axis]);
            from = MathF.Max(from, MathF.Min(t0, t1));
            to = MathF.Min(to, MathF.Max(t0, t1));
        }

        at = o + (d * from);
        return from <= to;
    }

    /// <summary>The twelve edges of a box about the origin: four along each axis.</summary>
    private static void Edge(Vector3 half, int edge, out Vector3 from, out Vector3 to)
    {
        var along = Unit(edge / 4);
        var (u, v) = (Unit(((edge / 4) + 1) % 3), Unit(((edge / 4) + 2) % 3));
        var side = (u * ((edge & 1) == 0 ? -1 : 1)) + (v * ((edge & 2) == 0 ? -1 : 1));
        (from, to) = (half * (side - along), half * (side + along));
    }

    private static Clearance Nearer(in Clearance a, in Clearance b) => b.Metres < a.Metres ? b : a;

    private static Clearance Shrunk(in Clearance core, float radiusA, float radiusB)
    {
        var metres = core.Metres - radiusA - radiusB;
        if (metres <= 0 || core.Metres <= 0)
        {
            return new Clearance(0, core.PointA, core.PointB);
        }

        var along = (core.PointB - core.PointA) / core.Metres;
        return new Clearance(metres, core.PointA + (along * radiusA), core.PointB - (along * radiusB));
    }

    private static Vector3 Unit(int axis) => axis switch { 0 => Vector3.UnitX, 1 => Vector3.UnitY, _ => Vector3.UnitZ };
}
