using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Beams;

/// <summary>Flux of a beam through windows, by integrating its intensity over directions.</summary>
public static class BeamFlux
{
    private const int Turns = 720;
    private const int Rings = 256;
    private const int Points = 96;

    /// <summary>
    /// Flux that leaves the lens or passes the clip, lm: the whole beam less its gobos' and blades' share and what the mirrors' outlines cut off. Haze isn't
    /// taken off.
    /// </summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="beam">The beam.</param>
    /// <param name="within">Count only directions within this angle of the axis, rad; null for all.</param>
    public static double Passing(Moment moment, in Beam beam, float? within = null)
    {
        ArgumentNullException.ThrowIfNull(moment);
        return Through(moment, beam, beam.Bounces > 0 ? moment.OutlineOf(beam.Clip) : [], within ?? beam.Profile.CutoffRadians);
    }

    /// <summary>
    /// Flux through a convex window (counter-clockwise seen from its far side; empty for the whole cone) and within an angle of the axis, lm.
    /// Azimuth by <see cref="Turns"/> planes; in each the window cuts a stretch of θ exactly, and ∫ I sin θ dθ over it is taken
    /// from a table of the curve (Simpson), or by midpoints where a web, a gobo, blades or a form of its own have their say.
    /// </summary>
    public static double Through(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window, float within)
    {
        ArgumentNullException.ThrowIfNull(moment);
        var limit = Math.Min(within, beam.Profile.CutoffRadians);
        var plain = beam.Profile.Web.IsNone && beam.Gobo.Image == 0 && beam.Profile.Form == BeamForm.Round && beam.Blades.Count == 0;
        Span<double> table = stackalloc double[Rings + 1];
        if (plain)
        {
            Tabulate(beam.Profile, table);
        }

        Span<Vector3> edges = window.Length <= ConvexClip.Capacity ? stackalloc Vector3[ConvexClip.Capacity] : new Vector3[window.Length];
        for (var e = 0; e < window.Length; e++)
        {
            edges[e] = ConvexClip.EdgePlane(beam.Apex, window[e], window[(e + 1) % window.Length]);
        }

        var facing = window.IsEmpty ? Vector3.Zero : Facing(beam.Apex, window);
        double sum = 0;
        for (var k = 0; k < Turns; k++)
        {
            var (sin, cos) = Trig.SinCos((k + 0.5f) * MathF.Tau / Turns);
            var across = (beam.Right * cos) + (beam.Up * sin);
            double from = 0, to = limit;
            CutByShape(beam, cos, sin, ref from, ref to);
            for (var e = 0; e < window.Length; e++)
            {
                Cut(Vector3.Dot(edges[e], beam.Axis), Vector3.Dot(edges[e], across), ref from, ref to);
            }

            if (!window.IsEmpty)
            {
                Cut(Vector3.Dot(facing, beam.Axis), Vector3.Dot(facing, across), ref from, ref to);
            }

            if (to <= from)
            {
                continue;
            }

            sum += plain
                ? Look(table, to / beam.Profile.CutoffRadians) - Look(table, from / beam.Profile.CutoffRadians)
                : Midpoints(moment, beam, across, from, to);
        }

        return beam.PeakCandela * sum * Math.Tau / Turns;
    }

    /// <summary>
    /// Directions that fill what a beam lights, each with its share of solid angle (sr): midpoints in θ inside each of a number of azimuth planes.
    /// </summary>
    internal static List<(Vector3 Direction, double Weight)> Directions(Moment moment, in Beam beam, int turns, int rings)
    {
        var window = beam.Bounces > 0 ? moment.OutlineOf(beam.Clip) : [];
        var facing = window.IsEmpty ? Vector3.Zero : Facing(beam.Apex, window);
        var list = new List<(Vector3, double)>(turns * rings);
        for (var k = 0; k < turns; k++)
        {
            var (sin, cos) = Trig.SinCos((k + 0.5f) * MathF.Tau / turns);
            var across = (beam.Right * cos) + (beam.Up * sin);
            double from = 0, to = beam.Profile.CutoffRadians;
            CutByShape(beam, cos, sin, ref from, ref to);
            for (var e = 0; e < window.Length; e++)
            {
                var edge = ConvexClip.EdgePlane(beam.Apex, window[e], window[(e + 1) % window.Length]);
                Cut(Vector3.Dot(edge, beam.Axis), Vector3.Dot(edge, across), ref from, ref to);
            }

            if (!window.IsEmpty)
            {
                Cut(Vector3.Dot(facing, beam.Axis), Vector3.Dot(facing, across), ref from, ref to);
            }

            for (var i = 0; i < rings && to > from; i++)
            {
                var (a, b) = (from + ((to - from) * i / rings), from + ((to - from) * (i + 1) / rings));
                var (s, c) = Trig.SinCos((float)((a + b) / 2));
                list.Add(((beam.Axis * c) + (across * s), (Math.Cos(a) - Math.Cos(b)) * Math.Tau / turns));
            }
        }

        return list;
    }

    private static void Tabulate(in AngularProfile profile, Span<double> table)
    {
        var h = profile.CutoffRadians / Rings;
        table[0] = 0;
        for (var i = 0; i < Rings; i++)
        {
            var (a, b) = (i * h, (i + 1) * h);
            double part = 0;
            for (var s = 0; s < 4; s++)
            {
                var (p, q) = (a + ((b - a) * s / 4), a + ((b - a) * (s + 1) / 4));
                part += (q - p) / 6 * (At(profile, p) + (4 * At(profile, (p + q) / 2)) + At(profile, q));
            }

            table[i + 1] = table[i] + part;
        }
    }

    private static double At(in AngularProfile profile, float theta) => profile.At(theta) * Math.Sin(theta);

    private static double Look(ReadOnlySpan<double> table, double share)
    {
        // Between rings the integral grows like θ², so it is read on that scale: linear in θ² inside each ring.
        var x = Math.Clamp(share, 0, 1) * Rings;
        var i = Math.Min((int)x, Rings - 1);
        double lo = (double)i * i, hi = (double)(i + 1) * (i + 1);
        return table[i] + ((table[i + 1] - table[i]) * ((x * x) - lo) / (hi - lo));
    }

    private static double Midpoints(Moment moment, in Beam beam, Vector3 across, double from, double to)
    {
        double sum = 0;
        for (var i = 0; i < Points; i++)
        {
            var theta = (float)(from + ((i + 0.5) * (to - from) / Points));
            var (sin, cos) = Trig.SinCos(theta);
            var direction = (beam.Axis * cos) + (across * sin);
            var gobo = BeamPhotometry.Luminance(GoboSampling.Transmission(moment, beam, direction) * beam.Colour);
            sum += BeamPhotometry.Relative(moment, beam, direction) * gobo * sin * (to - from) / Points;
        }

        return sum;
    }

    /// <summary>Keeps the θ with a·cos θ + b·sin θ ≥ 0 between from and to (0 to π): one stretch, since √(a²+b²)·cos(θ - δ) changes sign once there.</summary>
    private static void Cut(double a, double b, ref double from, ref double to)
    {
        var delta = Math.Atan2(b, a);
        if (delta >= 0)
        {
            from = Math.Max(from, delta - (Math.PI / 2));
            to = Math.Min(to, delta + (Math.PI / 2));
        }
        else if (delta > -Math.PI / 2)
        {
            to = Math.Min(to, delta + (Math.PI / 2));
        }
        else
        {
            from = Math.Max(from, delta + (1.5 * Math.PI));
        }
    }

    /// <summary>Leaves out what a beam's form or blades surely keep dark in a plane of azimuth, so that the points lie where the light is.</summary>
    private static void CutByShape(in Beam beam, float cos, float sin, ref double from, ref double to)
    {
        if (beam.Profile.Form != BeamForm.Round)
        {
            var edge = beam.Profile.EdgeRadians;
            var (x, y) = (MathF.Abs(cos), MathF.Abs(sin));
            to = Math.Min(to, beam.Profile.Form == BeamForm.Ellipse
                ? 1 / new Vector2(x / edge.X, y / edge.Y).Length()
                : MathF.Min(Trig.Atan2(Trig.Tan(edge.X), x), Trig.Atan2(Trig.Tan(edge.Y), y)));
        }

        if (beam.Blades.Count > 0)
        {
            // An edge finer than the points lie apart counts as sharp.
            var soft = BladeSampling.SoftnessAt(beam, float.PositiveInfinity);
            soft = soft * Points > beam.Profile.CutoffRadians ? soft : 0;
            for (var i = 0; i < beam.Blades.Count; i++)
            {
                var blade = beam.Blades[i];
                Cut(blade.Z + soft, -(blade.X * cos) - (blade.Y * sin), ref from, ref to);
            }
        }
    }

    /// <summary>Direction from the apex square onto the window's plane: light goes that way through it.</summary>
    private static Vector3 Facing(Vector3 apex, ReadOnlySpan<Vector3> window)
    {
        var n = Vector3.Cross(window[1] - window[0], window[2] - window[0]);
        return Vector3.Dot(window[0] - apex, n) < 0 ? -n : n;
    }
}
