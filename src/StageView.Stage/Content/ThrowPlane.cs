using System.Numerics;

namespace StageView.Stage.Content;

/// <summary>World points to picture coordinates: 0 to 1 along a rectangle's edges, along its normal.</summary>
internal readonly struct ThrowPlane
{
    private readonly Vector3 _corner;

    /// <param name="corner">The picture's top left corner, world m.</param>
    /// <param name="across">Along its top edge, m.</param>
    /// <param name="down">Down its left edge, m.</param>
    public ThrowPlane(Vector3 corner, Vector3 across, Vector3 down)
    {
        _corner = corner;
        Size = new Vector2(across.Length(), down.Length());
        // Dual basis of the two edges in their plane, so that edges need not be square to each other.
        var n = Vector3.Cross(across, down);
        var area2 = n.LengthSquared();
        U = Vector3.Cross(down, n) / area2;
        V = Vector3.Cross(n, across) / area2;
        Front = -Vector3.Normalize(n);
    }

    /// <summary>m.</summary>
    public Vector2 Size { get; }

    /// <summary>Picture widths in a metre along each world axis.</summary>
    public Vector3 U { get; }

    /// <summary>Picture heights in a metre along each world axis.</summary>
    public Vector3 V { get; }

    /// <summary>Unit, towards who sees the picture the right way round.</summary>
    public Vector3 Front { get; }

    public Vector2 At(Vector3 world) => Along(world - _corner);

    public Vector2 Along(Vector3 step) => new(Vector3.Dot(step, U), Vector3.Dot(step, V));
}
