using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Render.Scenery;

/// <summary>A mesh's box, and which of the box's six sides the mesh fills without a hole (the sides of boxes, slabs and plates).</summary>
/// <param name="SolidSides">Bits 0 to 5: -X, +X, -Y, +Y, -Z, +Z.</param>
internal readonly record struct MeshBounds(Vector3 Low, Vector3 High, int SolidSides)
{
    public static MeshBounds Of(SceneMesh mesh)
    {
        if (mesh.Positions.Length == 0)
        {
            return new MeshBounds(Vector3.Zero, Vector3.Zero, 0);
        }

        var (low, high) = (mesh.Positions[0], mesh.Positions[0]);
        foreach (var p in mesh.Positions)
        {
            (low, high) = (Vector3.Min(low, p), Vector3.Max(high, p));
        }

        var slack = 1e-4f * MathF.Max(1e-3f, (high - low).Length());
        Span<float> filled = stackalloc float[6];
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var (a, b, c) = (mesh.Positions[mesh.Indices[i]], mesh.Positions[mesh.Indices[i + 1]], mesh.Positions[mesh.Indices[i + 2]]);
            var area = 0.5f * Vector3.Cross(b - a, c - a).Length();
            for (var side = 0; side < 6; side++)
            {
                var axis = side / 2;
                var at = (side & 1) == 0 ? low[axis] : high[axis];
                if (MathF.Abs(a[axis] - at) < slack && MathF.Abs(b[axis] - at) < slack && MathF.Abs(c[axis] - at) < slack)
                {
                    filled[side] += area;
                }
            }
        }

        var solid = 0;
        var size = high - low;
        for (var side = 0; side < 6; side++)
        {
            var whole = size[((side / 2) + 1) % 3] * size[((side / 2) + 2) % 3];
            if (whole > 0 && filled[side] > 0.999f * whole)
            {
                solid |= 1 << side;
            }
        }

        return new MeshBounds(low, high, solid);
    }
}
