using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>How a beam's light falls off its axis: by a formula or, with <c>WEBS</c>, by a photometric web in the same place.</summary>
[StructLayout(LayoutKind.Explicit, Size = 4 * sizeof(float))]
internal struct BeamCurve
{
    /// <summary>-log2 of the squared half beam angle, rad.</summary>
    [FieldOffset(0)]
    public float Scale;

    /// <summary>Half the exponent; 0 for no curve.</summary>
    [FieldOffset(sizeof(float))]
    public float HalfExponent;

    /// <summary>tan² of the cone inside which a hard edge is flat, or 0.</summary>
    [FieldOffset(2 * sizeof(float))]
    public float InnerTanSquared;

    /// <summary>Azimuths of the web, each a row of the table.</summary>
    [FieldOffset(0)]
    public float WebRows;

    /// <summary>Column of the web's last polar angle.</summary>
    [FieldOffset(sizeof(float))]
    public float WebLastColumn;

    /// <summary>The web's last polar angle, rad.</summary>
    [FieldOffset(2 * sizeof(float))]
    public float WebLastPolar;

    /// <summary>The web's first row of the table, or -1 for no web.</summary>
    [FieldOffset(3 * sizeof(float))]
    public float WebFirstRow;
}
