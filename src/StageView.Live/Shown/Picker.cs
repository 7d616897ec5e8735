using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Seen;
using StageView.Live.Terms;

namespace StageView.Live.Shown;

/// <summary>Finds what a ray from the eye points at.</summary>
internal static class Picker
{
    private const float Farthest = 200;

    /// <summary>So many one-sided surfaces are looked through: a wall of a room has two.</summary>
    private const int MostBehind = 20;

    /// <summary>More are not told: the first is what is picked.</summary>
    private const int MostCandidates = 3;

    /// <summary>Light under this share of all that is seen there is not told.</summary>
    private const float LeastShare = .01f;

    /// <summary>
    /// The fixtures that a ray may mean, the likeliest first, each with its share of the light seen there, 0 to 1: the one whose head or lens is seen, then by
    /// their light, then one whose head the ray only just misses.
    /// </summary>
    public static IReadOnlyList<(FixtureIndex Fixture, float Share)> Candidates(Moment moment, OcclusionScene scene, Ray ray)
    {
        var look = new SeenLight(moment, scene).Along(ray.Origin, ray.Direction, ray.Wide);
        var all = look.Shares.Sum(s => s.Luminance);
        var candidates = look.Shares.Select(s => (s.Fixture, Share: s.Luminance / all)).Where(s => s.Share >= LeastShare).ToList();
        if (!look.Head.IsNone)
        {
            var own = candidates.FindIndex(c => c.Fixture == look.Head);
            var share = own < 0 ? 0 : candidates[own].Share;
            candidates.RemoveAll(c => c.Fixture == look.Head);
            candidates.Insert(0, (look.Head, share));
        }

        var near = NearHead(moment, ray, look.Point is { } met ? Vector3.Distance(met, ray.Origin) + .6f : Farthest);
        if (!near.IsNone && candidates.All(c => c.Fixture != near))
        {
            candidates.Insert(Math.Min(candidates.Count, MostCandidates - 1), (near, 0));
        }

        return candidates.Take(MostCandidates).ToList();
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

    /// <summary>The nearest fixture whose head the ray passes within a hand's breadth.</summary>
    private static FixtureIndex NearHead(Moment moment, Ray ray, float stop)
    {
        var (best, nearest) = (FixtureIndex.None, float.MaxValue);
        foreach (ref readonly var body in moment.Scenery.Span)
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

        return best;
    }
}
