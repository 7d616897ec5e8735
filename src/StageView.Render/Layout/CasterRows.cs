using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>Something that stands in a beam, for <c>shadow.vert</c>.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct CasterRows
{
    /// <summary>Mesh to the tile's clip space.</summary>
    public Matrix4x4 ToTile;

    /// <summary>The tile in the atlas' clip space: scale, then where its middle lies.</summary>
    public Vector4 Place;

    /// <summary>Half-space of the leg (n, d), in the mesh's own metres.</summary>
    public Vector4 Front;

    /// <summary>Its other one.</summary>
    public Vector4 Back;
}
