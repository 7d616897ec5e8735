using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A leg of a laser, for <c>laser.vert</c> and <c>laser.frag</c>.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct LaserRows
{
    /// <summary>World metres.</summary>
    public Vector3 Origin;

    /// <summary>m.</summary>
    public float Length;

    /// <summary>Unit.</summary>
    public Vector3 Direction;

    /// <summary>From the aperture to the origin, m.</summary>
    public float WayBefore;

    /// <summary>lm by channel, linear Rec.709.</summary>
    public Vector3 Flux;

    /// <summary>Full angle, rad.</summary>
    public float Divergence;

    /// <summary>Diameter, m.</summary>
    public float Aperture;

    public Vector3 Spare;
}
