using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A beam as the shaders know it; <c>shaders/include/beam.glsl</c> names the columns.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct BeamRows
{
    /// <summary>World metres; of a reflected beam its image.</summary>
    public Vector3 Apex;

    /// <summary>cos² of the cut-off.</summary>
    public float CosSquared;

    /// <summary>Unit.</summary>
    public Vector3 Axis;

    /// <summary>sin² of the cut-off.</summary>
    public float SinSquared;

    /// <summary>Unit, at right angles to the axis.</summary>
    public Vector3 Up;

    /// <summary>-1 when mirrored, else 1.</summary>
    public float Hand;

    /// <summary>On the axis, cd, linear Rec.709.</summary>
    public Vector3 Light;

    /// <summary>From the apex, m.</summary>
    public float StartDistance;

    public BeamCurve Curve;

    /// <summary>Half-space where the light begins (n, d), or zero.</summary>
    public Vector4 Start;

    /// <summary>Half-space where it ends, or zero.</summary>
    public Vector4 End;

    /// <summary>In the table of edges.</summary>
    public float FirstEdge;

    /// <summary>Half-spaces from there that the beam is cut by.</summary>
    public float EdgeCount;

    /// <summary>1 for a lamp that shines all round, else 0.</summary>
    public float Omni;

    /// <summary>Of the gobo's mean, 0 to 1.</summary>
    public float Transmission;

    /// <summary>Layer of the gobo's image, or -1.</summary>
    public float GoboLayer;

    /// <summary>From tangents to -1..1.</summary>
    public float GoboScale;

    /// <summary>Of the rotation back.</summary>
    public float GoboCos;

    /// <inheritdoc cref="GoboCos"/>
    public float GoboSin;

    /// <summary>Of the gobo beside the axis, in units of its radius.</summary>
    public float GoboOffset;

    /// <summary>Where the gobo is sharp, m; 0 for everywhere.</summary>
    public float FocusDistance;

    /// <summary>m.</summary>
    public float LensRadius;

    /// <summary>0 to 1.</summary>
    public float Frost;

    /// <summary>s² of <see cref="Light.Beams.NearField"/>, m²; 0 for a point.</summary>
    public float NearSquared;

    /// <summary>4 e² s², m².</summary>
    public float NearCross;

    /// <summary>How many of the edges, the first ones, are a mirror's, soft by the size of the lens. The row before them is then the mirror's plane, scaled so
    /// that the height above an edge's plane by that above it is where on the lens light past the edge comes from, -1 to 1.</summary>
    public float SoftEdges;

    /// <summary>Radius of the lens as edges see it, m; 0 for a point.</summary>
    public float SoftRadius;

    public ShadowPlace Shadow;

    /// <summary>1 / share² of the angles along the beam's own +X, see <see cref="Light.Photometry.AngularProfile.Across"/>.</summary>
    public float FormRight;

    /// <summary>The same along +Y.</summary>
    public float FormUp;

    /// <summary>1 for a rectangle, else 0.</summary>
    public float FormRectangle;

    /// <summary>Half width of the blades' edges whatever the focus, in tangents.</summary>
    public float Softness;

    /// <summary>In the table of edges: blades, a row each, then further gobos, two rows each.</summary>
    public float FirstExtra;

    /// <summary>How many blades.</summary>
    public float BladeCount;

    /// <summary>How many gobos besides the first.</summary>
    public float MoreGobos;

    /// <summary>No focus makes a blade's edge softer, in tangents.</summary>
    public float MostSoftness;
}
