using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Reads the geometry of Wavefront OBJ files (v and f lines): taken as metres, Y up, (x, y, z) → (x, -z, y). Materials are not read.</summary>
internal static class ObjReader
{
    public static SceneMesh? TryRead(byte[] bytes, string name, out string why)
    {
        var points = new List<Vector3>();
        var positions = new List<Vector3>();
        var normals = new List<Vector3>();
        var number = 0;
        foreach (var raw in Encoding.UTF8.GetString(bytes).Split('\n'))
        {
            number++;
            var words = raw.Split((char[])[' ', '\t', '\r'], StringSplitOptions.RemoveEmptyEntries);
            if (words.Length >= 4 && words[0] == "v")
            {
                var v = new float[3];
                for (var i = 0; i < 3; i++)
                {
                    if (!float.TryParse(words[i + 1], NumberStyles.Float, CultureInfo.InvariantCulture, out v[i]) || !float.IsFinite(v[i]))
                    {
                        why = $"{name}: line {number}: \"{words[i + 1]}\" is no number";
                        return null;
                    }
                }

                points.Add(new Vector3(v[0], -v[2], v[1]));
            }
            else if (words.Length >= 4 && words[0] == "f")
            {
                if (!AddFace(words, points, positions, normals))
                {
                    why = $"{name}: line {number}: the face refers to a vertex that doesn't exist";
                    return null;
                }

                if (positions.Count > ModelFiles.MaxTriangles * 3)
                {
                    why = $"{name} holds more than {ModelFiles.MaxTriangles} triangles";
                    return null;
                }
            }
        }

        why = positions.Count == 0 ? $"{name} holds no triangles" : "";
        return positions.Count == 0 ? null : MeshWelding.Weld(name, positions, normals);
    }

    private static bool AddFace(string[] words, List<Vector3> points, List<Vector3> positions, List<Vector3> normals)
    {
        var corners = new Vector3[words.Length - 1];
        for (var i = 1; i < words.Length; i++)
        {
            // "7", "7/1", "7//2", "7/1/2"; below zero counts from the last.
            if (!int.TryParse(words[i].Split('/')[0], NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out var k))
            {
                return false;
            }

            var at = k < 0 ? points.Count + k : k - 1;
            if (at < 0 || at >= points.Count)
            {
                return false;
            }

            corners[i - 1] = points[at];
        }

        for (var i = 2; i < corners.Length; i++)
        {
            var n = Vector3.Cross(corners[i - 1] - corners[0], corners[i] - corners[0]);
            if (n.LengthSquared() > 1e-20f && float.IsFinite(n.LengthSquared()))
            {
                n = Vector3.Normalize(n);
                positions.AddRange([corners[0], corners[i - 1], corners[i]]);
                normals.AddRange([n, n, n]);
            }
        }

        return true;
    }
}
