using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Render.Stops;

/// <summary>What a shape stands for.</summary>
internal enum ShapeUse
{
    /// <summary>Light on surfaces and in the haze.</summary>
    All,

    /// <summary>
    /// A part of a lamp that shines all round, with its own shadows: light in the haze where lamps cast shadows there; through a mirror's window on surfaces,
    /// too.
    /// </summary>
    Part,

    /// <summary>
    /// The same lamp whole, after its parts: in the haze where lamps cast no shadows; on surfaces, where it finds the shadows of its six sides, unless it is
    /// seen in a mirror.
    /// </summary>
    Whole,
}

/// <summary>
/// A beam as hulls and shadow tiles take it. One shape stands for a beam; a lamp that shines all round has a shape for each side of a cube around it
/// (or the one through the window of the mirror that it is seen in), because a tile shows less than a half-space.
/// </summary>
/// <param name="Index">In <see cref="Moment.Beams"/>.</param>
/// <param name="Beam">The beam; of a lamp's part the axis and angle that its tile is drawn with.</param>
/// <param name="Use">Where its light counts.</param>
/// <param name="Stop">Where it ends and what stands in it.</param>
internal readonly record struct BeamShape(int Index, Beam Beam, ShapeUse Use, BeamStops.Stop Stop)
{
    /// <summary>How far light is followed when nothing stops it, m.</summary>
    public const float Range = 200;

    /// <summary>The widest half-angle of a window, rad, that is still drawn as one part.</summary>
    private const float Widest = 1.25f;

    /// <summary>The beam with a cone that holds all of its light, near its lens, too (<see cref="NearField.Outer"/>).</summary>
    public Beam Bound => NearField.Outer(Beam);

    /// <summary>Where the sides of its hull meet: behind the lens, or for a beam out of a mirror's window where it seems to shine from.</summary>
    public Vector3 HullApex => Beam.Bounces > 0 ? Beam.Apex : Bound.Apex;

    /// <summary>Radius of the lens as edges see it, m; 0 for a point, whose edges are hard.</summary>
    public float SoftRadius => Beam.NearLength > 0 ? Beam.ApertureRadius : 0;

    /// <summary>True for one of six parts of a lamp.</summary>
    public bool IsSide => Use == ShapeUse.Part && Beam.Bounces == 0;

    /// <summary>True for sources without a cone to cut by: lamps that shine all round, and webs that reach sideways.</summary>
    public static bool IsAllRound(in AngularProfile profile) => profile.IsOmnidirectional || profile.CutoffRadians > 1.5533f;

    /// <summary>A lamp as seen towards one side of the cube around it, 0 to 5.</summary>
    public static Beam Side(in Beam lamp, int side)
    {
        var axis = (side / 2) switch
        {
            0 => Vector3.UnitX,
            1 => Vector3.UnitY,
            _ => Vector3.UnitZ,
        };
        return lamp with { Axis = side % 2 == 0 ? axis : -axis, Up = side < 4 ? Vector3.UnitZ : Vector3.UnitX, Profile = Cone(Trig.Acos(1 / MathF.Sqrt(3))) };
    }

    /// <summary>
    /// Directions from the apex to the corners of a lamp's side, one along the axis, right-hand about it. Exact, so that two sides share one plane to the bit.
    /// </summary>
    public static void Rays(in Beam side, Span<Vector3> rays)
    {
        var right = Vector3.Cross(side.Axis, side.Up);
        rays[0] = side.Axis + side.Up + right;
        rays[1] = side.Axis - side.Up + right;
        rays[2] = side.Axis - side.Up - right;
        rays[3] = side.Axis + side.Up - right;
    }

    /// <summary>A lamp as seen through the window of the mirror it comes from; false when the window is too wide for one tile.</summary>
    public static bool TryWindow(in Beam lamp, ReadOnlySpan<Vector3> window, out Beam part)
    {
        part = lamp;
        if (window.Length < 3)
        {
            return false;
        }

        var middle = Vector3.Zero;
        foreach (var corner in window)
        {
            middle += Vector3.Normalize(corner - lamp.Apex);
        }

        var axis = Vector3.Normalize(middle);
        var cos = 1f;
        foreach (var corner in window)
        {
            cos = MathF.Min(cos, Vector3.Dot(Vector3.Normalize(corner - lamp.Apex), axis));
        }

        var up = MathF.Abs(axis.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ;
        part = lamp with { Axis = axis, Up = Vector3.Normalize(up - (axis * Vector3.Dot(up, axis))), Profile = Cone(Trig.Acos(MathF.Min(cos, 1))) };
        return cos > Trig.Cos(Widest);
    }

    private static AngularProfile Cone(float half) => AngularProfile.FromBeamAndField(2 * half, 2.05f * half);
}
