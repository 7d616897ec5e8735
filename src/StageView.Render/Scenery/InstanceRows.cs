using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Scenery;

/// <summary>A mesh instance as the vertex shaders take it: rows of the model matrix, then the albedo and a number, shine and roughness.</summary>
internal readonly record struct InstanceRows(Vector4 X, Vector4 Y, Vector4 Z, Vector4 Albedo, Vector4 Shine)
{
    public static InstanceRows Of(in MeshInstance instance)
    {
        var q = instance.Pose.Orientation;
        var ax = Vector3.Transform(Vector3.UnitX, q) * instance.Scale.X;
        var ay = Vector3.Transform(Vector3.UnitY, q) * instance.Scale.Y;
        var az = Vector3.Transform(Vector3.UnitZ, q) * instance.Scale.Z;
        var p = instance.Pose.Position;
        return new InstanceRows(
            new Vector4(ax.X, ay.X, az.X, p.X),
            new Vector4(ax.Y, ay.Y, az.Y, p.Y),
            new Vector4(ax.Z, ay.Z, az.Z, p.Z),
            new Vector4(instance.Albedo, 1),
            new Vector4(instance.Shine, instance.Shine > 0 ? instance.Roughness : 0, 0, 0));
    }

    public Vector3 Transform(Vector3 p)
    {
        var v = new Vector4(p, 1);
        return new Vector3(Vector4.Dot(X, v), Vector4.Dot(Y, v), Vector4.Dot(Z, v));
    }
}
