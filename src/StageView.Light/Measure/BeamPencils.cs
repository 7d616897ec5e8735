using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Measure;

/// <summary>A beam cut into pencils of light, and where each lands.</summary>
internal static class BeamPencils
{
    /// <summary>Every pencil with light in it.</summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="scene">What is met.</param>
    /// <param name="beam">The beam, or one that differs from it only in flux and colour.</param>
    /// <param name="directions">Where to, each with its solid angle, sr.</param>
    public static IEnumerable<Pencil> Of(Moment moment, OcclusionScene scene, Beam beam, IEnumerable<(Vector3 Direction, double Weight)> directions)
    {
        var own = moment.LastMirrorOf(beam);
        foreach (var (direction, weight) in directions)
        {
            var candela = BeamPhotometry.CandelaRgb(moment, beam, direction);
            if (candela == Vector3.Zero)
            {
                continue;
            }

            var start = beam.Bounces == 0 ? BeamPhotometry.StartAlong(beam, direction) : OnFace(moment, beam, own, direction);
            var origin = beam.Apex + (direction * start);
            var clear = beam.Bounces == 0 || UnfoldedPath.Clear(moment, scene, beam, origin + (direction * 1e-3f));
            SceneHit hit = default;
            var meets = clear && scene.Closest(origin, direction, Landings.FarLimit, beam.Fixture, own, out hit);
            var length = meets ? hit.Distance : clear ? Landings.FarLimit : 0;
            yield return new Pencil(direction, candela, weight, meets && hit.Mirror.IsNone ? hit : null) { Origin = origin, Length = length };
        }
    }

    /// <summary>
    /// Directions of equal solid angle over what a beam lights, on a spiral of golden angles (H. Vogel, Mathematical Biosciences 44, 179, 1979).
    /// </summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="beam">The beam.</param>
    /// <param name="count">How many, less those that a mirror's outline cuts off.</param>
    public static IEnumerable<(Vector3 Direction, double Weight)> Even(Moment moment, Beam beam, int count)
    {
        var wide = 1 - Math.Cos(beam.Profile.CutoffRadians);
        var window = beam.Bounces > 0 ? moment.OutlineOf(beam.Clip).ToArray() : [];
        for (var i = 0; i < count; i++)
        {
            var cos = (float)(1 - (wide * (i + 0.5) / count));
            var (y, x) = Trig.SinCos((float)(i * 2.399963229728653 % Math.Tau));
            var direction = (beam.Axis * cos) + (((beam.Right * x) + (beam.Up * y)) * MathF.Sqrt(1 - (cos * cos)));
            if (window.Length == 0 || ConvexClip.Sees(beam.Apex, window, beam.Apex + (direction * 1e4f)))
            {
                yield return (direction, Math.Tau * wide / count);
            }
        }
    }

    private static float OnFace(Moment moment, in Beam beam, MirrorIndex mirror, Vector3 direction)
    {
        var n = moment[mirror].Normal;
        return Vector3.Dot(moment.OutlineOf(beam.Clip)[0] - beam.Apex, n) / Vector3.Dot(direction, n);
    }
}

/// <param name="Direction">From the apex, unit.</param>
/// <param name="Candela">Its intensity, linear Rec.709, cd.</param>
/// <param name="Weight">Its solid angle, sr.</param>
/// <param name="Hit">The surface that it lands on, or null.</param>
internal readonly record struct Pencil(Vector3 Direction, Vector3 Candela, double Weight, SceneHit? Hit)
{
    /// <summary>Where it leaves the lens or the last mirror, m.</summary>
    public Vector3 Origin { get; init; }

    /// <summary>From there to what it meets, mirrors too, m; 0 where it is stopped before.</summary>
    public float Length { get; init; }
}
