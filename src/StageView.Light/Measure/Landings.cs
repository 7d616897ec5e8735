using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Measure;

/// <summary>Finds where beams land.</summary>
public static class Landings
{
    /// <summary>How far a beam is followed, m.</summary>
    public const float FarLimit = 500;

    /// <summary>The landing of one beam; false when it meets nothing within <see cref="FarLimit"/>.</summary>
    public static bool TryFind(LightMeter meter, OcclusionScene scene, BeamIndex beam, out Landing landing)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(scene);
        landing = default;
        var moment = meter.Moment;
        ref readonly var b = ref moment[beam];
        var direction = LeadingRay(moment, b, out var onAxis);
        var origin = b.Apex + (direction * BeamPhotometry.StartAlong(b, direction));
        var mirror = moment.LastMirrorOf(b);
        if (b.Bounces > 0)
        {
            var face = moment.OutlineOf(b.Clip)[0];
            var n = moment[mirror].Normal;
            origin = b.Apex + (direction * (Vector3.Dot(face - b.Apex, n) / Vector3.Dot(direction, n)));
        }

        if (!scene.Closest(origin, direction, FarLimit, b.Fixture, mirror, out var hit))
        {
            return false;
        }

        var distance = Vector3.Distance(hit.Point, b.Apex);
        landing = new Landing
        {
            Beam = beam,
            OnAxis = onAxis,
            Point = hit.Point,
            Normal = hit.Normal,
            Instance = hit.Instance,
            Mirror = hit.Mirror,
            ThrowMetres = MathF.Max(0, distance - b.StartDistance),
            IncidenceRadians = Trig.Acos(Math.Clamp(-Vector3.Dot(direction, hit.Normal), 0, 1)),
            CentreLux = meter.FromBeam(beam, hit.Point, hit.Normal),
        };
        return true;
    }

    /// <summary>The axis, or where it misses the clip or a blade covers it, the mean direction of the light that passes.</summary>
    internal static Vector3 LeadingRay(Moment moment, in Beam beam, out bool onAxis)
    {
        onAxis = true;
        var open = BladeSampling.Transmission(beam, beam.Axis, float.PositiveInfinity) >= 0.5f;
        if (beam.Bounces == 0 && open)
        {
            return beam.Axis;
        }

        var window = beam.Bounces == 0 ? [] : moment.OutlineOf(beam.Clip);
        if (beam.Bounces > 0 && open && Vector3.Dot(beam.Axis, moment[moment.LastMirrorOf(beam)].Normal) > 0
            && ConvexClip.Sees(beam.Apex, window, beam.Apex + beam.Axis))
        {
            return beam.Axis;
        }

        onAxis = false;
        var (lit, middle) = (Vector3.Zero, Vector3.Zero);
        foreach (var (direction, weight) in BeamFlux.Directions(moment, beam, 32, 6))
        {
            lit += direction * (BeamPhotometry.Relative(moment, beam, direction) * (float)weight);
        }

        if (lit != Vector3.Zero)
        {
            return Vector3.Normalize(lit);
        }

        if (window.IsEmpty)
        {
            return beam.Axis;
        }

        foreach (var p in window)
        {
            middle += p / window.Length;
        }

        return Vector3.Normalize(middle - beam.Apex);
    }
}
