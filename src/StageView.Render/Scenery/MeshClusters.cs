using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Scenery;

/// <summary>
/// A large mesh's triangles in the order of a Morton curve through their middles, cut into runs that lie close together, each with its box: who looks
/// at a part of the mesh, as a narrow beam does, draws only the runs in sight. Order changes no depth picture.
/// </summary>
internal static class MeshClusters
{
    /// <summary>Triangles of a run of a mesh of very many.</summary>
    public const int Triangles = 2048;

    /// <summary>Triangles of a run at least: a truss or a figure is cut into few enough that looking at each costs less than drawing it.</summary>
    private const int Fewest = 256;

    /// <summary>Runs of a mesh that has not so many triangles that they are of <see cref="Triangles"/>.</summary>
    private const int Runs = 8;

    private const int Bits = 10;

    /// <summary>The runs of a mesh, with the indices they draw put behind those given; none for a mesh that is one run itself.</summary>
    /// <param name="mesh">The mesh.</param>
    /// <param name="bounds">Its box.</param>
    /// <param name="indices">Takes the indices in their new order.</param>
    public static Run[] Of(SceneMesh mesh, MeshBounds bounds, List<uint> indices)
    {
        var count = mesh.Indices.Length / 3;
        var each = Math.Clamp((count + Runs - 1) / Runs, Fewest, Triangles);
        if (count <= each)
        {
            return [];
        }

        var size = bounds.High - bounds.Low;
        var scale = ((1 << Bits) - 1) / MathF.Max(1e-6f, MathF.Max(size.X, MathF.Max(size.Y, size.Z)));
        var (codes, order) = (new uint[count], new int[count]);
        for (var t = 0; t < count; t++)
        {
            var (a, b, c) = Corners(mesh, t);
            var at = (((a + b + c) / 3) - bounds.Low) * scale;
            (codes[t], order[t]) = (Spread(at.X) | (Spread(at.Y) << 1) | (Spread(at.Z) << 2), t);
        }

        Array.Sort(codes, order);
        var runs = new Run[(count + each - 1) / each];
        for (var r = 0; r < runs.Length; r++)
        {
            var those = order.AsSpan(r * each, Math.Min(each, count - (r * each)));
            var (low, high) = (new Vector3(float.MaxValue), new Vector3(float.MinValue));
            var first = indices.Count;
            foreach (var t in those)
            {
                var (a, b, c) = Corners(mesh, t);
                low = Vector3.Min(low, Vector3.Min(a, Vector3.Min(b, c)));
                high = Vector3.Max(high, Vector3.Max(a, Vector3.Max(b, c)));
                for (var k = 0; k < 3; k++)
                {
                    indices.Add((uint)mesh.Indices[(3 * t) + k]);
                }
            }

            runs[r] = new Run(first, 3 * those.Length, (low + high) / 2, (high - low) / 2);
        }

        return runs;
    }

    /// <summary>Whether a box lies wholly on the negative side of a plane n·p + d, by more than rounding explains.</summary>
    public static bool IsBehind(Vector4 plane, in Run run)
    {
        var normal = plane.AsVector3();
        var reach = Vector3.Dot(Vector3.Abs(normal), run.Half);
        var slack = 1e-5f * (Vector3.Dot(Vector3.Abs(normal), Vector3.Abs(run.Middle)) + reach + MathF.Abs(plane.W));
        return Vector3.Dot(normal, run.Middle) + plane.W + reach < -slack;
    }

    private static (Vector3 A, Vector3 B, Vector3 C) Corners(SceneMesh mesh, int triangle) => (mesh.Positions[mesh.Indices[3 * triangle]],
        mesh.Positions[mesh.Indices[(3 * triangle) + 1]], mesh.Positions[mesh.Indices[(3 * triangle) + 2]]);

    /// <summary>The ten bits of a whole number with two zeros between each.</summary>
    private static uint Spread(float value)
    {
        var v = (uint)Math.Clamp(value, 0, (1 << Bits) - 1);
        v = (v | (v << 16)) & 0x030000FF;
        v = (v | (v << 8)) & 0x0300F00F;
        v = (v | (v << 4)) & 0x030C30C3;
        return (v | (v << 2)) & 0x09249249;
    }

    /// <summary>A run of triangles.</summary>
    /// <param name="FirstIndex">Where its indices begin.</param>
    /// <param name="IndexCount">How many there are.</param>
    /// <param name="Middle">Of its box, in the mesh's own axes, m.</param>
    /// <param name="Half">Half the box's size, m.</param>
    public readonly record struct Run(int FirstIndex, int IndexCount, Vector3 Middle, Vector3 Half);
}
