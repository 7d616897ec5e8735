using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Radiance;

/// <summary>The stretch of a view ray that lies inside one beam: in its cone, beyond its lens or mirror, within its clip.</summary>
internal static class RayInterval
{
    /// <summary>True when the ray o + t·d, 0 ≤ t ≤ far, passes through the beam; the set is one interval because the beam is convex.</summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="beam">The beam, its cone wide enough for what its lens does near it.</param>
    /// <param name="lens">Where its light passes its clip from, m.</param>
    /// <param name="o">m.</param>
    /// <param name="d">Of unit length.</param>
    /// <param name="far">m.</param>
    /// <param name="from">m.</param>
    /// <param name="to">m.</param>
    public static bool TryFind(Moment moment, in Beam beam, Vector3 lens, Vector3 o, Vector3 d, double far, out double from, out double to)
    {
        (from, to) = (0, far);
        var rel = o - beam.Apex;
        if (!beam.Profile.IsOmnidirectional)
        {
            if (!Cone(beam, rel, d, ref from, ref to))
            {
                return false;
            }

            HalfSpace(Dot(rel, beam.Axis) - beam.StartDistance, Dot(d, beam.Axis), ref from, ref to);
        }

        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            var n = moment[moment.LastMirrorOf(beam)].Normal;
            HalfSpace(Dot(o - window[0], n), Dot(d, n), ref from, ref to);
            for (var i = 0; i < window.Length; i++)
            {
                var edge = ConvexClip.EdgePlane(lens, window[i], window[(i + 1) % window.Length]);
                HalfSpace(Dot(o - lens, edge), Dot(d, edge), ref from, ref to);
            }
        }

        return to > from;
    }

    private static bool Cone(in Beam beam, Vector3 rel, Vector3 d, ref double from, ref double to)
    {
        // Inside when h(t) = axis·(rel + t d) ≥ 0 and h² ≥ cos²·|rel + t d|².
        var c2 = Math.Pow(Math.Cos(beam.Profile.CutoffRadians), 2);
        double dv = Dot(d, beam.Axis), rv = Dot(rel, beam.Axis);
        var a = (dv * dv) - (c2 * Dot(d, d));
        var b = (dv * rv) - (c2 * Dot(d, rel));
        var c = (rv * rv) - (c2 * Dot(rel, rel));
        if (Math.Abs(a) < 1e-12)
        {
            // Parallel to the mantle: one crossing, the lit side lies the way the axis points.
            if (Math.Abs(b) > 1e-15)
            {
                var t = -c / (2 * b);
                if (b > 0)
                {
                    from = Math.Max(from, t);
                }
                else
                {
                    to = Math.Min(to, t);
                }
            }

            return to > from;
        }

        var disc = (b * b) - (a * c);
        if (disc < 0)
        {
            return a > 0;
        }

        var root = Math.Sqrt(disc);
        var q = -(b + Math.CopySign(root, b));
        var (t0, t1) = (q / a, q == 0 ? 0 : c / q);
        if (t0 > t1)
        {
            (t0, t1) = (t1, t0);
        }

        if (a < 0)
        {
            if (rv + (0.5 * (t0 + t1) * dv) < 0)
            {
                return false;
            }

            from = Math.Max(from, t0);
            to = Math.Min(to, t1);
        }
        else if (dv > 0)
        {
            from = Math.Max(from, t1);
        }
        else
        {
            to = Math.Min(to, t0);
        }

        return to > from;
    }

    /// <summary>Keeps the part with value + t·slope ≥ 0.</summary>
    private static void HalfSpace(double value, double slope, ref double from, ref double to)
    {
        if (Math.Abs(slope) < 1e-12)
        {
            if (value < 0)
            {
                to = double.MinValue;
            }

            return;
        }

        var t = -value / slope;
        if (slope > 0)
        {
            from = Math.Max(from, t);
        }
        else
        {
            to = Math.Min(to, t);
        }
    }

    private static double Dot(Vector3 a, Vector3 b) => ((double)a.X * b.X) + ((double)a.Y * b.Y) + ((double)a.Z * b.Z);
}
