using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Rays;
using StageView.Rig.Pieces;

namespace StageView.Show.Refocus;

/// <summary>A straight part of a beam's axis.</summary>
/// <param name="From">Where it begins, m.</param>
/// <param name="Direction">Unit vector.</param>
/// <param name="Length">To what it meets, m.</param>
/// <param name="Hit">What it meets, or null.</param>
/// <param name="HalfBeam">Half the beam angle, rad.</param>
/// <param name="Before">Length of the way before it, from the lens, m.</param>
internal readonly record struct Leg(Vector3 From, Vector3 Direction, float Length, SceneHit? Hit, float HalfBeam, float Before)
{
    /// <summary>What lies so far beyond the surface that is met still counts as reached, m: a point on a performer, a step before a riser.</summary>
    private const float Beyond = .5f;

    /// <summary>Angle at which a point is seen off the axis from the lens, rad.</summary>
    public float AngleTo(Vector3 point)
    {
        var to = Vector3.Normalize(point - (From - (Direction * Before)));
        return Trig.Acos(Math.Clamp(Vector3.Dot(to, Direction), -1, 1));
    }

    /// <summary>Whether a point lies ahead, and not behind what is met.</summary>
    public bool Reaches(Vector3 point) => Vector3.Dot(point - From, Direction) is > 0 and var along && along <= Length + Beyond;

    /// <summary>Whether the axis passes a point within a distance.</summary>
    public bool Passes(Vector3 point, float within)
    {
        var along = Math.Clamp(Vector3.Dot(point - From, Direction), 0, Length);
        return Vector3.Distance(point, From + (Direction * along)) <= within;
    }

    /// <summary>How far along both lie where they are nearest to each other, m; false for parallel ones and for places before either begins.</summary>
    public bool Nearest(in Leg other, out float mine, out float theirs)
    {
        var w = From - other.From;
        var b = Vector3.Dot(Direction, other.Direction);
        var (d, e) = (Vector3.Dot(Direction, w), Vector3.Dot(other.Direction, w));
        var det = 1 - (b * b);
        (mine, theirs) = det < 1e-4f ? (0, 0) : (((b * e) - d) / det, (e - (b * d)) / det);
        return det >= 1e-4f && mine > 0 && theirs > 0;
    }
}

/// <summary>Rays and volumes of people.</summary>
internal static class VolumeRay
{
    /// <summary>Whether a ray enters a box within a length (slab method), and where, m along it.</summary>
    public static bool Meets(this CautionVolume volume, Vector3 from, Vector3 direction, float length, out float at)
    {
        var (o, d) = (volume.Pose.InverseTransformPoint(from), Vector3.Transform(direction, Quaternion.Conjugate(volume.Pose.Orientation)));
        var half = volume.Size / 2;
        var (near, far) = (0f, length);
        for (var k = 0; k < 3; k++)
        {
            if (MathF.Abs(d[k]) < 1e-7f)
            {
                if (MathF.Abs(o[k]) > half[k])
                {
                    at = 0;
                    return false;
                }

                continue;
            }

            var (a, b) = ((-half[k] - o[k]) / d[k], (half[k] - o[k]) / d[k]);
            near = MathF.Max(near, MathF.Min(a, b));
            far = MathF.Min(far, MathF.Max(a, b));
        }

        at = near;
        return near <= far;
    }
}
