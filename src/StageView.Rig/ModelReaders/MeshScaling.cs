using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Fits meshes into the boxes that files state for them.</summary>
internal static class MeshScaling
{
    /// <summary>
    /// Scales about the origin so that the extents are those of <paramref name="size"/>; an extent of zero on either side leaves that axis alone.
    /// </summary>
    public static SceneMesh Fit(SceneMesh mesh, Vector3 size)
    {
        var (low, high) = Bounds(mesh);
        var have = high - low;
        static float Of(float want, float have) => want > 1e-6f && have > 1e-6f ? want / have : 1;
        return Scale(mesh, new Vector3(Of(size.X, have.X), Of(size.Y, have.Y), Of(size.Z, have.Z)));
    }

    public static SceneMesh Scale(SceneMesh mesh, Vector3 by) => mesh with
    {
        Positions = [.. mesh.Positions.Select(p => p * by)],
        Normals = [.. mesh.Normals.Select(n => Vector3.Normalize(n / by))],
    };

    public static (Vector3 Low, Vector3 High) Bounds(SceneMesh mesh)
    {
        if (mesh.Positions.Length == 0)
        {
            return default;
        }

        var low = new Vector3(float.MaxValue);
        var high = new Vector3(float.MinValue);
        foreach (var p in mesh.Positions)
        {
            low = Vector3.Min(low, p);
            high = Vector3.Max(high, p);
        }

        return (low, high);
    }
}
