using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;

namespace StageView.Rig.Solids;

/// <summary>Orientations from directions.</summary>
internal static class Turns
{
    /// <summary>Turns +Z into <paramref name="direction"/> (unit), +Y as near to up as can be.</summary>
    public static Quaternion ZTo(Vector3 direction)
    {
        var up = MathF.Abs(direction.Z) > .9999f ? Vector3.UnitY : Vector3.UnitZ;
        var x = Vector3.Normalize(Vector3.Cross(up, direction));
        return FromAxes(x, Vector3.Cross(direction, x), direction);
    }

    /// <summary>Turns -Z (where a fixture looks) into <paramref name="direction"/>, +Y as near to up as can be.</summary>
    public static Quaternion LookAlong(Vector3 direction) => ZTo(-Vector3.Normalize(direction));

    /// <summary>Right-handed orthonormal axes to the turn that makes them.</summary>
    public static Quaternion FromAxes(Vector3 x, Vector3 y, Vector3 z) =>
        Quaternion.Normalize(Quaternion.CreateFromRotationMatrix(new Matrix4x4(
            x.X, x.Y, x.Z, 0, y.X, y.Y, y.Z, 0, z.X, z.Y, z.Z, 0, 0, 0, 0, 1)));

    /// <summary>
    /// The pose seen in a mirror at x = 0, as a rigid pose: directions d become M R M d with M = diag(-1, 1, 1).
    /// A thing that is symmetric about its own x looks exactly like its reflection.
    /// </summary>
    public static Pose Reflected(in Pose p) => new(
        new Vector3(-p.Position.X, p.Position.Y, p.Position.Z),
        new Quaternion(p.Orientation.X, -p.Orientation.Y, -p.Orientation.Z, p.Orientation.W));

    /// <summary>Fixed-axis X, Y, Z turns in degrees, such that <see cref="Pose.FromDegrees"/> gives the orientation back.</summary>
    public static Vector3 ToDegrees(Quaternion q)
    {
        // R = Rz·Ry·Rx with column vectors: r20 = -sin y, r21 = cos y sin x, r22 = cos y cos x, r10 = sin z cos y, r00 = cos z cos y.
        var x = Vector3.Transform(Vector3.UnitX, q);
        var y = Vector3.Transform(Vector3.UnitY, q);
        var z = Vector3.Transform(Vector3.UnitZ, q);
        var sinY = Math.Clamp(-x.Z, -1, 1);
        if (MathF.Abs(sinY) > .999999f)
        {
            // At ±90° about y, only z ∓ x counts: put all of it in z.
            return new Vector3(0, Angles.Degrees(Trig.Asin(sinY)), Angles.Degrees(Trig.Atan2(-y.X, y.Y)));
        }

        return new Vector3(
            Angles.Degrees(Trig.Atan2(y.Z, z.Z)),
            Angles.Degrees(Trig.Asin(sinY)),
            Angles.Degrees(Trig.Atan2(x.Y, x.X)));
    }
}
