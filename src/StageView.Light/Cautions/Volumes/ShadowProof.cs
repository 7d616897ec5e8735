using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Cautions.Volumes;

/// <summary>Proves that a beam's light reaches nothing between a few points, by one thing that stands in the way of all of them.</summary>
internal static class ShadowProof
{
    private const float Gap = 1e-3f;

    /// <summary>
    /// True when, on some leg of the way, a single plane convex polygon (of a mesh, or a mirror) is crossed by the ways to all the points. It is convex, as is
    /// what lies between the ways, so it then shades the whole convex hull of the points. False proves nothing.
    /// </summary>
    public static bool Covers(Moment moment, OcclusionScene scene, in Beam beam, ReadOnlySpan<Vector3> points)
    {
        Span<Vector3> ends = stackalloc Vector3[points.Length];
        Span<Vector3> starts = stackalloc Vector3[points.Length];
        points.CopyTo(ends);
        var leg = beam;
        var endMirror = MirrorIndex.None;
        while (true)
        {
            var mirror = MirrorIndex.None;
            for (var i = 0; i < points.Length; i++)
            {
                if (leg.Bounces > 0)
                {
                    mirror = moment.MirrorPaths.Span[leg.FirstPathMirror + leg.Bounces - 1];
                    starts[i] = UnfoldedPath.Crossing(ends[i], leg.Apex, moment.OutlineOf(leg.Clip)[0], moment[mirror].Normal);
                }
                else
                {
                    var direction = Vector3.Normalize(ends[i] - leg.Apex);
                    starts[i] = leg.Apex + (direction * BeamPhotometry.StartAlong(leg, direction));
                }
            }

            if (OneCovers(moment, scene, starts, ends, mirror, endMirror, leg.Fixture))
            {
                return true;
            }

            if (leg.Bounces == 0)
            {
                return false;
            }

            starts.CopyTo(ends);
            endMirror = mirror;
            leg = moment[leg.Parent];
        }
    }

    /// <summary>
    /// True when a single polygon is crossed by every way from some points to the corners of a convex source, and so by every way from their hull to the
    /// source.
    /// </summary>
    public static bool CoversSource(Moment moment, OcclusionScene scene, ReadOnlySpan<Vector3> points, ReadOnlySpan<Vector3> source, FixtureIndex fixture)
    {
        Span<Vector3> starts = stackalloc Vector3[points.Length * source.Length];
        Span<Vector3> ends = stackalloc Vector3[starts.Length];
        for (var i = 0; i < points.Length; i++)
        {
            for (var k = 0; k < source.Length; k++)
            {
                starts[(i * source.Length) + k] = source[k];
                ends[(i * source.Length) + k] = points[i];
            }
        }

        return OneCovers(moment, scene, starts, ends, MirrorIndex.None, MirrorIndex.None, fixture);
    }

    private static bool OneCovers(
        Moment moment, OcclusionScene scene, ReadOnlySpan<Vector3> starts, ReadOnlySpan<Vector3> ends,
        MirrorIndex mirror, MirrorIndex endMirror, FixtureIndex fixture)
    {
        var way = ends[0] - starts[0];
        var length = way.Length();
        if (length <= 2 * Gap || !scene.Closest(starts[0], way / length, length - Gap, fixture, mirror, out var hit) || hit.Distance < Gap)
        {
            return false;
        }

        Span<Vector3> patch = stackalloc Vector3[16];
        scoped ReadOnlySpan<Vector3> cover;
        if (!hit.Mirror.IsNone)
        {
            if (hit.Mirror == endMirror)
            {
                return false;
            }

            cover = moment.OutlineOf(moment[hit.Mirror].Outline);
        }
        else
        {
            ref readonly var instance = ref moment[hit.Instance];
            var polygon = ConvexPatches.Of(moment.Meshes[instance.Mesh.Value], hit.Triangle);
            for (var k = 0; k < polygon.Length; k++)
            {
                patch[k] = instance.Pose.TransformPoint(polygon[k] * instance.Scale);
            }

            cover = patch[..polygon.Length];
        }

        for (var i = 1; i < ends.Length; i++)
        {
            if (!Crosses(starts[i], ends[i], cover))
            {
                return false;
            }
        }

        return true;
    }

    private static bool Crosses(Vector3 from, Vector3 to, ReadOnlySpan<Vector3> polygon)
    {
        var n = Vector3.Zero;
        for (var k = 1; k + 1 < polygon.Length; k++)
        {
            n += Vector3.Cross(polygon[k] - polygon[0], polygon[k + 1] - polygon[0]);
        }

        var (a, b) = (Vector3.Dot(from - polygon[0], n), Vector3.Dot(to - polygon[0], n));
        return a > 0 != b > 0 && a != b && ConvexClip.Inside(polygon, n, Vector3.Lerp(from, to, a / (a - b)));
    }
}
