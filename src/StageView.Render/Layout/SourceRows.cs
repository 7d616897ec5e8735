using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A block of a pixel surface as a source of light.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct SourceRows
{
    /// <summary>World metres.</summary>
    public Vector3 Place;

    /// <summary>m².</summary>
    public float Area;

    /// <summary>Unit.</summary>
    public Vector3 Front;

    /// <summary>Of a globe, m; 0 for a flat block.</summary>
    public float Radius;

    /// <summary>Mean of the lit part, cd/m².</summary>
    public Vector3 Luminance;

    public float Spare;
}
