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
    public static SceneMesh Weld(string name, List<Vector3> positions, List<Vector3> faceNormals)
    {
        var at = new Dictionary<Vector3, List<int>>();
        for (var i = 0; i < positions.Count; i++)
        {
            if (!at.TryGetValue(positions[i], out var list))
            {
                at[positions[i]] = list = [];
            }

            list.Add(i);
        }

        var normals = new Vector3[positions.Count];
        foreach (var corners in at.Values)
        {
            // A corner with very many faces (a fan's hub) is left faceted: the pairwise comparison would not end in time.
            foreach (var i in corners)
            {
                var sum = faceNormals[i];
                if (corners.Count <= 64)
                {
                    sum = Vector3.Zero;
                    foreach (var k in corners)
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

        var index = new Dictionary<(Vector3, Vector3), int>();
        var outPositions = new List<Vector3>();
        var outNormals = new List<Vector3>();
        var indices = new int[positions.Count];
        for (var i = 0; i < positions.Count; i++)
        {
            if (!index.TryGetValue((positions[i], normals[i]), out var k))
            {
                k = outPositions.Count;
                index[(positions[i], normals[i])] = k;
                outPositions.Add(positions[i]);
                outNormals.Add(normals[i]);
            }

            indices[i] = k;
        }

        return new SceneMesh { Name = name, Positions = [.. outPositions], Normals = [.. outNormals], Indices = indices };
    }
}
