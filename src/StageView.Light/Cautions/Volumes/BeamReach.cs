using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Volumes;

/// <summary>Quick tests that leave most beams out: a beam against a ball.</summary>
internal static class BeamReach
{
    /// <summary>Light of a beam is taken as no stronger than at this distance from its apex, m.</summary>
    public static float Nearest(in Beam beam) =>
        beam.Bounces == 0 && beam.Profile.IsOmnidirectional ? MathF.Max(beam.StartDistance, EntryPolygons.NearestMetres) : EntryPolygons.NearestMetres;

    /// <summary>
    /// False when certainly no point of a ball gets the least illuminance from the beam: too far, outside its cone, behind its lens or mirror, or past its
    /// window.
    /// </summary>
    public static bool May(Moment moment, in Beam beam, Vector3 centre, float radius, float leastLux)
    {
        var to = centre - beam.Apex;
        var distance = to.Length();
        var near = MathF.Max(distance - radius, Nearest(beam));
        // A saturated colour's channels can add up to more than its luminance behind a gobo that takes the negative ones out.
        var peak = beam.PeakCandela * (beam.Gobo.Image == 0 ? 1 : Vector3.Dot(Vector3.Max(beam.Colour, Vector3.Zero), new Vector3(0.2126f, 0.7152f, 0.0722f)));
        if (peak < leastLux * near * near)
        {
            return false;
        }

        if (!beam.Profile.IsOmnidirectional && distance > radius)
        {
            // The ball spans asin(radius/distance) about its centre; compared by cosines.
            var sin = radius / distance;
            var cos = MathF.Sqrt(1 - (sin * sin));
            var (sinCut, cosCut) = Trig.SinCos(beam.Profile.CutoffRadians);
            if (Vector3.Dot(to, beam.Axis) < ((cosCut * cos) - (sinCut * sin) - 1e-5f) * distance && beam.Profile.CutoffRadians + Trig.Asin(sin) < MathF.PI)
            {
                return false;
            }
        }

        if (beam.Bounces == 0)
        {
            return beam.Profile.IsOmnidirectional || Vector3.Dot(to, beam.Axis) >= beam.StartDistance - radius;
        }

        var window = moment.OutlineOf(beam.Clip);
        if (Vector3.Dot(centre - window[0], EntryPolygons.LastMirror(moment, beam).Normal) < -radius)
        {
            return false;
        }

        var a = window[^1];
        foreach (var b in window)
        {
            if (Vector3.Dot(ConvexClip.EdgePlane(beam.Apex, a, b), to) < -radius)
            {
                return false;
            }

            a = b;
        }

        return true;
    }
}
