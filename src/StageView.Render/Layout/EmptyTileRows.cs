using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A tile of the shadow atlas to be emptied, in the atlas' clip space, for <c>shadowempty.vert</c>.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct EmptyTileRows
{
    public Vector2 Corner;

    public float Side;

    public float Spare;
}
