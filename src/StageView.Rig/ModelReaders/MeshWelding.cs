using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Makes an indexed mesh of loose triangles: faces that meet at less than 40 degrees share a smooth normal.</summary>
internal static class MeshWelding
{
    private const float SmoothCosine = .766f;

    /// <param name="name">The mesh's name.</param>
    /// <param name="positions">Three a triangle.</param>
    /// <param name="faceNormals">The triangle's normal, three times.</param>
    public static SceneMesh Weld(string name, List<Vector3> positions, List<Vector3> faceNormals) => Weld(name, positions, faceNormals, null, out _);

    /// <param name="name">The mesh's name.</param>
    /// <param name="positions">Three a triangle.</param>
    /// <param name="faceNormals">The triangle's normal, three times.</param>
    /// <param name="painted">What lies on each of the positions, or null; corners that differ in it stay apart.</param>
    /// <param name="at">The same of the mesh's positions.</param>
    public static SceneMesh Weld(string name, List<Vector3> positions, List<Vector3> faceNormals, List<Vector3>? painted, out Vector3[] at)
    {
        var corners = new Dictionary<Vector3, List<int>>();
        for (var i = 0; i < positions.Count; i++)
        {
            if (!corners.TryGetValue(positions[i], out var list))
            {
                corners[positions[i]] = list = [];
            }

            list.Add(i);
        }

        var normals = new Vector3[positions.Count];
        foreach (var alike in corners.Values)
        {
            // A corner with very many faces (a fan's hub) is left faceted: the pairwise comparison would not end in time.
            foreach (var i in alike)
            {
                var sum = faceNormals[i];
                if (alike.Count <= 64)
                {
                    sum = Vector3.Zero;
                    foreach (var k in alike)
                    {
                        if (Vector3.Dot(faceNormals[i], faceNormals[k]) >= SmoothCosine)
                        {
                            sum += faceNormals[k];
                        }
                    }
                }

                normals[i] = Vector3.Normalize(sum);
            }
        }

        var index = new Dictionary<(Vector3, Vector3, Vector3), int>();
        var outPainted = new List<Vector3>();
        var outPositions = new List<Vector3>();
        var outNormals = new List<Vector3>();
        var indices = new int[positions.Count];
        for (var i = 0; i < positions.Count; i++)
        {
            var paint = painted is null ? Vector3.Zero : painted[i];
            if (!index.TryGetValue((positions[i], normals[i], paint), out var k))
            {
                k = outPositions.Count;
                index[(positions[i], normals[i], paint)] = k;
                outPainted.Add(paint);
                outPositions.Add(positions[i]);
                outNormals.Add(normals[i]);
            }

            indices[i] = k;
        }

        at = [.. outPainted];
        return new SceneMesh { Name = name, Positions = [.. outPositions], Normals = [.. outNormals], Indices = indices };
    }
}
