using System.Numerics;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;

namespace StageView.Light.Cautions.Moving;

/// <summary>A piece that moves, as its box or as a capsule (a bar with round ends; a ball when both ends are one). Sizes in metres.</summary>
public readonly record struct Solid
{
    private Solid(bool isBox, Pose pose, Vector3 half, Vector3 a, Vector3 b, float radius) =>
        (IsBox, Pose, Half, A, B, Radius) = (isBox, pose, half, a, b, radius);

    public bool IsBox { get; }

    /// <summary>A box's middle and axes.</summary>
    public Pose Pose { get; }

    /// <summary>Half of a box's size along its own axes, m.</summary>
    public Vector3 Half { get; }

    /// <summary>One end of a capsule's core, m.</summary>
    public Vector3 A { get; }

    /// <summary>The other end, m.</summary>
    public Vector3 B { get; }

    /// <summary>A capsule's radius, m.</summary>
    public float Radius { get; }

    /// <summary>A box by the pose of its middle and its full size, m.</summary>
    public static Solid Box(in Pose pose, Vector3 size) => new(true, pose, Vector3.Abs(size) / 2, default, default, 0);

    public static Solid Box(WatchedVolume volume)
    {
        ArgumentNullException.ThrowIfNull(volume);
        return Box(volume.Pose, volume.Size);
    }

    /// <summary>Everything within a radius of a straight core, m.</summary>
    public static Solid Capsule(Vector3 a, Vector3 b, float radius) => new(false, Pose.Identity, default, a, b, MathF.Max(0, radius));

    public Vector3 Middle => IsBox ? Pose.Position : (A + B) / 2;

    /// <summary>Radius of the ball about <see cref="Middle"/> that holds it, m.</summary>
    public float Reach => IsBox ? Half.Length() : (Vector3.Distance(A, B) / 2) + Radius;

    /// <summary>Lowest point over the ground, m.</summary>
    public float Bottom => IsBox ? Lowest(-1) : MathF.Min(A.Z, B.Z) - Radius;

    /// <summary>Highest point, m.</summary>
    public float Top => IsBox ? Lowest(1) : MathF.Max(A.Z, B.Z) + Radius;

    /// <summary>Corners of a box (8) or the ends of a capsule's core (2); returns how many.</summary>
    public int Corners(Span<Vector3> corners)
    {
        if (!IsBox)
        {
            (corners[0], corners[1]) = (A, B);
            return 2;
        }

        for (var k = 0; k < 8; k++)
        {
            corners[k] = Pose.TransformPoint(Half * new Vector3((k & 1) == 0 ? -1 : 1, (k & 2) == 0 ? -1 : 1, (k & 4) == 0 ? -1 : 1));
        }

        return 8;
    }

    /// <summary>
    /// How far its fastest point moved from where it was, m: of a rigid body that is one of its corners or ends, of a box or capsule that changed its kind
    /// none.
    /// </summary>
    public float MovedFrom(in Solid before)
    {
        Span<Vector3> now = stackalloc Vector3[8];
        Span<Vector3> then = stackalloc Vector3[8];
        var count = Corners(now);
        if (before.Corners(then) != count)
        {
            return 0;
        }

        var most = 0f;
        for (var k = 0; k < count; k++)
        {
            most = MathF.Max(most, Vector3.Distance(now[k], then[k]));
        }

        return most;
    }

    private float Lowest(int sign)
    {
        var z = Vector3.Transform(Vector3.UnitZ, Quaternion.Conjugate(Pose.Orientation));
        return Pose.Position.Z + (sign * Vector3.Dot(Vector3.Abs(z), Half));
    }
}
