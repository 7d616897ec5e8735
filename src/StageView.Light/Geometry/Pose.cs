using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Light.Geometry;

/// <summary>A rigid placement: local coordinates (metres) to the parent's. Right-handed, Z up.</summary>
/// <param name="Position">Where the local origin lies in the parent, m.</param>
/// <param name="Orientation">Unit quaternion that turns local directions into the parent's.</param>
public readonly record struct Pose(Vector3 Position, Quaternion Orientation)
{
    public static Pose Identity => new(Vector3.Zero, Quaternion.Identity);

    public static Pose At(float x, float y, float z) => new(new Vector3(x, y, z), Quaternion.Identity);

    /// <summary>
    /// Fixed-axis rotations in the order X, then Y, then Z (degrees, right hand), then the translation:
    /// the meaning of <c>rotate: [x, y, z]</c> in scene and profile files.
    /// </summary>
    public static Pose FromDegrees(Vector3 position, Vector3 rotationDegrees)
    {
        var r = rotationDegrees * (MathF.PI / 180f);
        var q = Trig.Turn(Vector3.UnitZ, r.Z)
              * Trig.Turn(Vector3.UnitY, r.Y)
              * Trig.Turn(Vector3.UnitX, r.X);
        return new Pose(position, Quaternion.Normalize(q));
    }

    public Vector3 TransformPoint(Vector3 local) => Position + Vector3.Transform(local, Orientation);

    public Vector3 TransformDirection(Vector3 local) => Vector3.Transform(local, Orientation);

    public Vector3 InverseTransformPoint(Vector3 world) =>
        Vector3.Transform(world - Position, Quaternion.Conjugate(Orientation));

    /// <summary>The placement of <paramref name="child"/>, given in this pose's local frame, in this pose's parent frame.</summary>
    public Pose Compose(in Pose child) =>
        new(TransformPoint(child.Position), Quaternion.Normalize(Orientation * child.Orientation));
}
