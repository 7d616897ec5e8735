using System.Numerics;

namespace StageView.Light.Moments;

/// <summary>A triangle mesh in its own coordinates (metres, Z up), shared by its instances.</summary>
public sealed record SceneMesh
{
    public required string Name { get; init; }

    public required Vector3[] Positions { get; init; }

    /// <summary>One a position; unit length.</summary>
    public required Vector3[] Normals { get; init; }

    /// <summary>Three a triangle, counter-clockwise seen from outside.</summary>
    public required int[] Indices { get; init; }

    /// <summary>Positions of each of its equal parts, where it is made of several one after another and not convex, such as a ring; else 0.</summary>
    public int PartVertices { get; init; }

    /// <summary>Pictures on it, or null.</summary>
    public MeshPaint? Paint { get; init; }
}
