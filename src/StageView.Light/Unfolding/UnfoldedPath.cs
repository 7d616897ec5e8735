using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Unfolding;

/// <summary>The way light takes from a fixture to a point, folded back from the straight line out of the image apex.</summary>
internal static class UnfoldedPath
{
    /// <summary>True when the point lies beyond the lens and, for a reflected beam, in front of the last mirror and behind its window.</summary>
    public static bool Reaches(Moment moment, in Beam beam, Vector3 point, Vector3 direction, float distance)
    {
        if (beam.Bounces == 0)
        {
            return distance >= BeamPhotometry.StartAlong(beam, direction);
        }

        var window = moment.OutlineOf(beam.Clip);
        ref readonly var face = ref moment[moment.LastMirrorOf(beam)];
        return Vector3.Dot(point - window[0], face.Normal) > 0 && ConvexClip.Sees(beam.Apex, window, point);
    }

    /// <summary>True when nothing lies on any leg of the way to the point from the middle of the lens, or from another point of it.</summary>
    /// <param name="moment">The beam's moment.</param>
    /// <param name="scene">What may lie there.</param>
    /// <param name="beam">The beam.</param>
    /// <param name="point">m.</param>
    /// <param name="lens">A point of the lens, of radius 1.</param>
    public static bool Clear(Moment moment, OcclusionScene scene, in Beam beam, Vector3 point, Vector2 lens = default)
    {
        var leg = beam;
        var end = point;
        var endMirror = MirrorIndex.None;
        while (leg.Bounces > 0)
        {
            var m = moment.LastMirrorOf(leg);
            var at = Crossing(end, LensShare.At(leg, lens), moment.OutlineOf(leg.Clip)[0], moment[m].Normal);
            if (scene.Blocked(at, end, leg.Fixture, m, endMirror))
            {
                return false;
            }

            end = at;
            endMirror = m;
            leg = moment[leg.Parent];
        }

        var from = LensShare.At(leg, lens);
        var direction = Vector3.Normalize(end - from);
        return !scene.Blocked(from + (direction * BeamPhotometry.StartAlong(leg, direction)), end, leg.Fixture, endMirror, MirrorIndex.None);
    }

    /// <summary>Where the line between two points crosses a plane.</summary>
    public static Vector3 Crossing(Vector3 a, Vector3 b, Vector3 onPlane, Vector3 normal)
    {
        var da = Vector3.Dot(a - onPlane, normal);
        var db = Vector3.Dot(b - onPlane, normal);
        return Vector3.Lerp(a, b, Math.Clamp(da / (da - db), 0, 1));
    }
}
