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
        var corners = new CornerTable(positions.Count);
        var first = new int[positions.Count];
        for (var i = 0; i < positions.Count; i++)
        {
            first[i] = corners.Find(i, positions, null);
        }

        // The corners at each place as a chain: it starts at the first one's.
        var next = new int[positions.Count];
        var starts = new int[positions.Count];
        var counts = new int[positions.Count];
        Array.Fill(starts, -1);
        for (var i = positions.Count - 1; i >= 0; i--)
        {
            next[i] = starts[first[i]];
            starts[first[i]] = i;
            counts[first[i]]++;
        }

        var normals = new Vector3[positions.Count];
        for (var i = 0; i < positions.Count; i++)
        {
            // A corner with very many faces (a fan's hub) is left faceted: the pairwise comparison would not end in time.
            var sum = faceNormals[i];
            if (counts[first[i]] <= 64)
            {
                sum = Vector3.Zero;
                for (var k = starts[first[i]]; k >= 0; k = next[k])
                {
                    if (Vector3.Dot(faceNormals[i], faceNormals[k]) >= SmoothCosine)
                    {
                        sum += faceNormals[k];
                    }
                }
            }

            normals[i] = Vector3.Normalize(sum);
        }

        corners.Clear();
        var outPositions = new List<Vector3>();
        var outNormals = new List<Vector3>();
        var outPainted = new List<Vector3>();
        for (var i = 0; i < positions.Count; i++)
        {
            var same = corners.Find(i, positions, normals, painted);
            if (same == i)
            {
                next[i] = outPositions.Count;
                outPainted.Add(painted is null ? Vector3.Zero : painted[i]);
                outPositions.Add(positions[i]);
                outNormals.Add(normals[i]);
            }

            first[i] = next[same];
        }

        var indices = first;
        at = [.. outPainted];
        return new SceneMesh { Name = name, Positions = [.. outPositions], Normals = [.. outNormals], Indices = indices };
    }
}
