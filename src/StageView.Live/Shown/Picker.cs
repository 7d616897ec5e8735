using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Live.Terms;

namespace StageView.Live.Shown;

/// <summary>Finds what a ray from the eye points at.</summary>
internal static class Picker
{
    private const float Farthest = 200;

    /// <summary>So many one-sided surfaces are looked through: a wall of a room has two.</summary>
    private const int MostBehind = 20;

    /// <summary>The fixture whose head the ray passes, else the one whose beam it passes nearest to the middle; or none.</summary>
    public static FixtureIndex Fixture(Moment moment, OcclusionScene scene, Ray ray)
    {
        var stop = Point(moment, scene, ray) is { } met ? Vector3.Distance(met, ray.Origin) + .6f : Farthest;
        var (best, nearest) = (FixtureIndex.None, float.MaxValue);
        foreach (var body in moment.Scenery.Span)
        {
            if (body.Kind != SceneryKind.FixtureBody || body.Fixture.IsNone)
            {
                continue;
            }

            var t = Vector3.Dot(body.Pose.Position - ray.Origin, ray.Direction);
            var radius = MathF.Max(.28f, t * .012f);
            if (t > 0 && t < stop && t < nearest && Vector3.Distance(ray.At(t), body.Pose.Position) < radius)
            {
                (best, nearest) = (body.Fixture, t);
            }
        }

        return best.IsNone ? Beam(moment, scene, ray, stop) : best;
    }

    /// <summary>The point of the scenery that is seen along the ray.</summary>
    public static Vector3? Point(Moment moment, OcclusionScene scene, Ray ray)
    {
        var from = ray.Origin;
        for (var behind = 0; behind < MostBehind; behind++)
        {
            if (!scene.Closest(from, ray.Direction, Farthest, FixtureIndex.None, out var hit))
            {
                return null;
            }

            // What is seen from its other side alone is looked through.
            if (hit.Instance.IsNone || Vector3.Dot(moment[hit.Instance].SeenFrom, ray.Direction) <= 0)
            {
                return hit.Point;
            }

            from = hit.Point + (ray.Direction * .001f);
        }

        return null;
    }

    private static FixtureIndex Beam(Moment moment, OcclusionScene scene, Ray ray, float stop)
    {
        var (best, least) = (FixtureIndex.None, 1f);
        foreach (var beam in moment.Beams.Span)
        {
            // Both lines' nearest points: s along the beam, t along the ray.
            var w = ray.Origin - beam.Apex;
            var b = Vector3.Dot(ray.Direction, beam.Axis);
            var (d, e) = (Vector3.Dot(ray.Direction, w), Vector3.Dot(beam.Axis, w));
            var det = 1 - (b * b);
            if (det < 1e-4f)
            {
                continue;
            }

            var t = ((b * e) - d) / det;
            var s = (e - (b * d)) / det;
            if (t <= 0 || t > stop || s <= beam.StartDistance || s > 60)
            {
                continue;
            }

            var at = beam.Apex + (beam.Axis * s);
            var radius = MathF.Max(s * MathF.Tan(MathF.Min(1.2f, beam.Profile.HalfBeamRadians)), .06f);
            var off = Vector3.Distance(ray.At(t), at) / radius;
            if (off < least && (beam.Bounces > 0 || !scene.Blocked(beam.Apex + (beam.Axis * (beam.StartDistance + .05f)), at, beam.Fixture)))
            {
                (best, least) = (beam.Fixture, off);
            }
        }

        return best;
    }
}
