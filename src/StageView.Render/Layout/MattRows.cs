using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>The grid of one piece's indirect light, in the mesh's own coordinates; the values of its cells stand behind it.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct MattRows
{
    /// <summary>Corner of the grid.</summary>
    public Vector3 Low;

    /// <summary>Cells along X.</summary>
    public float Columns;

    /// <summary>Cells for each unit of the mesh's coordinates.</summary>
    public Vector3 Fineness;

    /// <summary>Cells along Y.</summary>
    public float Across;

    /// <summary>Brings a normal of the mesh into its axes after scaling.</summary>
    public Vector3 Turn;

    /// <summary>Cells along Z.</summary>
    public float Layers;
}
