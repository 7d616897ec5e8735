using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Light.Moments;

namespace StageView.Render.Scenery;

/// <summary>The large flat faces of a mesh: triangles in one plane together, as the rectangle around them.</summary>
internal static class FlatFaces
{
    /// <summary>Faces of a mesh that are looked at, the largest first.</summary>
    private const int Most = 6;

    private static readonly ConditionalWeakTable<SceneMesh, Vector3[][]> Known = [];

    /// <summary>Four corners a face, counter-clockwise seen from outside, in the mesh's own coordinates.</summary>
    public static Vector3[][] Of(SceneMesh mesh) => Known.GetValue(mesh, Find);

    private static Vector3[][] Find(SceneMesh mesh)
    {
        var planes = new List<(Vector3 Normal, float At, float Area, List<Vector3> Points)>();
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var (a, b, c) = (mesh.Positions[mesh.Indices[i]], mesh.Positions[mesh.Indices[i + 1]], mesh.Positions[mesh.Indices[i + 2]]);
            var cross = Vector3.Cross(b - a, c - a);
            var area = cross.Length() / 2;
            if (area < 1e-9f)
            {
                continue;
            }

            var normal = Vector3.Normalize(cross);
            var at = Vector3.Dot(normal, a);
            var known = planes.FindIndex(p => Vector3.Dot(p.Normal, normal) > 0.99999f && MathF.Abs(p.At - at) < 1e-3f);
            if (known < 0)
            {
                // Round things have a plane a triangle, and no face.
                if (planes.Count == 64)
                {
                    return [];
                }

                planes.Add((normal, at, area, [a, b, c]));
                continue;
            }

            planes[known].Points.AddRange([a, b, c]);
            planes[known] = planes[known] with { Area = planes[known].Area + area };
        }

        return [.. planes.OrderByDescending(p => p.Area).Take(Most).Select(p => Around(p.Normal, p.Points))];
    }

    private static Vector3[] Around(Vector3 normal, List<Vector3> points)
    {
        var u = Vector3.Normalize(Vector3.Cross(MathF.Abs(normal.Z) < 0.9f ? Vector3.UnitZ : Vector3.UnitY, normal));
        var v = Vector3.Cross(normal, u);
        var (low, high) = (new Vector2(float.MaxValue), new Vector2(float.MinValue));
        foreach (var p in points)
        {
            var q = new Vector2(Vector3.Dot(p, u), Vector3.Dot(p, v));
            (low, high) = (Vector2.Min(low, q), Vector2.Max(high, q));
        }

        var from = normal * Vector3.Dot(points[0], normal);
        return [from + (u * low.X) + (v * low.Y), from + (u * high.X) + (v * low.Y), from + (u * high.X) + (v * high.Y), from + (u * low.X) + (v * high.Y)];
    }
}
