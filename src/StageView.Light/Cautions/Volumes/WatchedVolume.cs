using System.Numerics;
using StageView.Light.Geometry;

namespace StageView.Light.Cautions.Volumes;

/// <summary>A box in which people may be.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="IsCrew">Crew, who may be warned, rather than audience.</param>
/// <param name="Pose">Pose of the box's centre.</param>
/// <param name="Size">Full size along its own axes, m.</param>
public sealed record WatchedVolume(string Name, bool IsCrew, Pose Pose, Vector3 Size)
{
    /// <summary>The stretch of a line a + t·d inside the box grown by <paramref name="margin"/> on every side; false when it misses.</summary>
    public bool Crossing(Vector3 a, Vector3 d, float far, float margin, out float from, out float to) =>
        Crossing(a, d, far, new Vector3(margin), Vector3.Zero, out from, out to);

    /// <summary>
    /// The stretch of a line a + t·d inside the box grown by <paramref name="beside"/> on every side and by <paramref name="above"/> upwards, m. The box
    /// that is
    /// grown upwards is moved along the world's vertical, so it holds for tilted boxes too.
    /// </summary>
    public bool CrossingNear(Vector3 a, Vector3 d, float far, float beside, float above, out float from, out float to)
    {
        var up = MathF.Max(0, above - beside);
        // What lies within the box swept upwards lies within the box grown by half the sweep's own-axis parts about the sweep's middle; exact for upright
        // boxes.
        var sweep = Vector3.Transform(Vector3.UnitZ * up, Quaternion.Conjugate(Pose.Orientation));
        return Crossing(a, d, far, new Vector3(beside) + (Vector3.Abs(sweep) / 2), sweep / 2, out from, out to);
    }

    /// <summary>True when a point lies within the box grown by <paramref name="margin"/> m on every side.</summary>
    public bool Holds(Vector3 point, float margin = 0)
    {
        var local = Vector3.Abs(Pose.InverseTransformPoint(point));
        var half = (Size / 2) + new Vector3(margin);
        return local.X <= half.X && local.Y <= half.Y && local.Z <= half.Z;
    }

    private bool Crossing(Vector3 a, Vector3 d, float far, Vector3 margin, Vector3 centre, out float from, out float to)
    {
        var o = Pose.InverseTransformPoint(a) - centre;
        var v = Vector3.Transform(d, Quaternion.Conjugate(Pose.Orientation));
        var half = (Size / 2) + margin;
        (from, to) = (0, far);
        for (var axis = 0; axis < 3; axis++)
        {
            if (MathF.Abs(v[axis]) < 1e-9f)
            {
                if (MathF.Abs(o[axis]) > half[axis])
                {
                    return false;
                }

                continue;
            }

            var (t0, t1) = ((-half[axis] - o[axis]) / v[axis], (half[axis] - o[axis]) / v[axis]);
            from = MathF.Max(from, MathF.Min(t0, t1));
            to = MathF.Min(to, MathF.Max(t0, t1));
        }

        return to > from;
    }
}
