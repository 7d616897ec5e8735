using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Gdtf;
using StageView.Rig.Solids;

namespace StageView.Rig.Mvr;

/// <summary>
/// MVR matrices: four rows u, v, w, o of three numbers; row vectors, millimetres; world = local × parent. That is System.Numerics' own layout.
/// </summary>
internal static class MvrMatrix
{
    public static Matrix4x4? Read(string text) => GdtfValues.Numbers(text) switch
    {
        [var a, var b, var c, var d, var e, var f, var g, var h, var i, var x, var y, var z] =>
            new Matrix4x4(a, b, c, 0, d, e, f, 0, g, h, i, 0, x / 1000, y / 1000, z / 1000, 1),
        { Length: 16 } m => new Matrix4x4(m[0], m[1], m[2], 0, m[4], m[5], m[6], 0, m[8], m[9], m[10], 0, m[12] / 1000, m[13] / 1000, m[14] / 1000, 1),
        _ => null,
    };

    /// <summary>The same with scale in it.</summary>
    public static string Write(in Matrix4x4 m) => string.Create(
        CultureInfo.InvariantCulture,
        $"{{{m.M11:0.#########},{m.M12:0.#########},{m.M13:0.#########}}}"
        + $"{{{m.M21:0.#########},{m.M22:0.#########},{m.M23:0.#########}}}"
        + $"{{{m.M31:0.#########},{m.M32:0.#########},{m.M33:0.#########}}}"
        + $"{{{(double)m.M41 * 1000:0.#####},{(double)m.M42 * 1000:0.#####},{(double)m.M43 * 1000:0.#####}}}");

    public static Matrix4x4 Of(in Pose p) => Matrix4x4.CreateFromQuaternion(p.Orientation) with { Translation = p.Position };

    /// <summary>Takes the scale out; a reflected one gets a negative factor along x.</summary>
    public static (Pose Pose, Vector3 Scale)? Split(in Matrix4x4 m)
    {
        var x = new Vector3(m.M11, m.M12, m.M13);
        var y = new Vector3(m.M21, m.M22, m.M23);
        var z = new Vector3(m.M31, m.M32, m.M33);
        var scale = new Vector3(x.Length(), y.Length(), z.Length());
        if (scale.X < 1e-6f || scale.Y < 1e-6f || scale.Z < 1e-6f)
        {
            return null;
        }

        (x, y, z) = (x / scale.X, y / scale.Y, z / scale.Z);
        if (Vector3.Dot(Vector3.Cross(x, y), z) < 0)
        {
            x = -x;
            scale.X = -scale.X;
        }

        z = Vector3.Normalize(Vector3.Cross(x, y));
        y = Vector3.Cross(z, x);
        return (new Pose(m.Translation, Turns.FromAxes(x, y, z)), scale);
    }

    /// <summary>Nine significant digits give every single-precision value back.</summary>
    public static string Write(in Pose p)
    {
        static string V(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"{{{v.X:0.#########},{v.Y:0.#########},{v.Z:0.#########}}}");
        return V(p.TransformDirection(Vector3.UnitX)) + V(p.TransformDirection(Vector3.UnitY)) + V(p.TransformDirection(Vector3.UnitZ))
            + string.Create(CultureInfo.InvariantCulture,
                $"{{{(double)p.Position.X * 1000:0.#####},{(double)p.Position.Y * 1000:0.#####},{(double)p.Position.Z * 1000:0.#####}}}");
    }
}
