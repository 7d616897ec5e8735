using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A pixel surface, for <c>pixels.vert</c> and <c>pixels.frag</c>.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct SurfaceRows
{
    /// <summary>World metres.</summary>
    public Vector3 Origin;

    /// <summary>Of a globe, m; 0 for a flat surface.</summary>
    public float Radius;

    /// <summary>m, along a row.</summary>
    public Vector3 EdgeU;

    public float Columns;

    /// <summary>m, along a column.</summary>
    public Vector3 EdgeV;

    public float Rows;

    /// <summary>In the table of pixels.</summary>
    public float FirstPixel;

    /// <summary>Lit share of a pixel's side, 0 to 1.</summary>
    public float Fill;

    /// <summary>The grid and its halvings.</summary>
    public float Levels;

    public float Spare;
}
