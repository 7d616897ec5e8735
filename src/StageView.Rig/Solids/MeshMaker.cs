using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Rig.Solids;

/// <summary>Collects triangles with their normals.</summary>
internal sealed class MeshMaker
{
    private readonly List<Vector3> _positions = [];
    private readonly List<Vector3> _normals = [];
    private readonly List<int> _indices = [];

    /// <summary>A flat convex polygon, counter-clockwise seen from outside.</summary>
    public void Flat(params ReadOnlySpan<Vector3> corners)
    {
        var normal = Vector3.Normalize(Vector3.Cross(corners[1] - corners[0], corners[2] - corners[0]));
        var first = _positions.Count;
        foreach (var c in corners)
        {
            _positions.Add(c);
            _normals.Add(normal);
        }

        for (var i = 2; i < corners.Length; i++)
        {
            _indices.Add(first);
            _indices.Add(first + i - 1);
            _indices.Add(first + i);
        }
    }

    /// <summary>A four-sided patch with a normal at each corner.</summary>
    public void Smooth(ReadOnlySpan<Vector3> corners, ReadOnlySpan<Vector3> normals)
    {
        var first = _positions.Count;
        for (var i = 0; i < 4; i++)
        {
            _positions.Add(corners[i]);
            _normals.Add(normals[i]);
        }

        Triangle(first, first + 1, first + 2);
        Triangle(first, first + 2, first + 3);
    }

    /// <summary>Left out where two corners meet (the poles of a sphere).</summary>
    private void Triangle(int a, int b, int c)
    {
        if (Vector3.Cross(_positions[b] - _positions[a], _positions[c] - _positions[a]).LengthSquared() > 1e-14f)
        {
            _indices.AddRange([a, b, c]);
        }
    }

    /// <summary>A box with full sizes along the pose's axes.</summary>
    public void Box(in Pose pose, Vector3 size)
    {
        var p = pose;
        var h = size / 2;
        Vector3 C(float x, float y, float z) => p.TransformPoint(new Vector3(x * h.X, y * h.Y, z * h.Z));
        Flat(C(-1, -1, 1), C(1, -1, 1), C(1, 1, 1), C(-1, 1, 1));
        Flat(C(-1, 1, -1), C(1, 1, -1), C(1, -1, -1), C(-1, -1, -1));
        Flat(C(-1, -1, -1), C(1, -1, -1), C(1, -1, 1), C(-1, -1, 1));
        Flat(C(1, 1, -1), C(-1, 1, -1), C(-1, 1, 1), C(1, 1, 1));
        Flat(C(1, -1, -1), C(1, 1, -1), C(1, 1, 1), C(1, -1, 1));
        Flat(C(-1, 1, -1), C(-1, -1, -1), C(-1, -1, 1), C(-1, 1, 1));
    }

    /// <summary>A square bar from one point to another.</summary>
    public void Bar(Vector3 from, Vector3 to, float thickness)
    {
        var along = to - from;
        var length = along.Length();
        if (length > 1e-6f)
        {
            Box(new Pose((from + to) / 2, Turns.ZTo(along / length)), new Vector3(thickness, thickness, length));
        }
    }

    /// <param name="name">The mesh's name.</param>
    /// <param name="shift">Added to every position.</param>
    public SceneMesh Make(string name, Vector3 shift = default) => new()
    {
        Name = name,
        Positions = [.. _positions.Select(p => p + shift)],
        Normals = [.. _normals],
        Indices = [.. _indices],
    };
}
