using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Live.Terms;

/// <summary>What one viewer looks at.</summary>
/// <param name="Position">Of the camera, m.</param>
/// <param name="Target">The point looked at, m.</param>
/// <param name="FieldRadians">Full vertical angle of view, rad.</param>
/// <param name="Ev100">Exposure value at ISO 100.</param>
/// <param name="Width">Of the picture, pixels.</param>
/// <param name="Height">Of the picture, pixels.</param>
/// <param name="WorkLight">Whether a dim even light shows what stands in the dark; it follows the exposure.</param>
/// <param name="Quick">Whether the haze may be drawn coarser, while things move.</param>
internal sealed record Viewpoint(Vector3 Position, Vector3 Target, float FieldRadians, float Ev100, int Width, int Height, bool WorkLight = true,
    bool Quick = false)
{
    /// <summary>
    /// lx for each unit of 2^EV: a white surface then has about a quarter of the luminance that saturates, 1.2 · 2^EV cd/m2 (ISO 12232, at ISO 100).
    /// </summary>
    private const float WorkShare = 1f;

    /// <summary>Even light on every surface, lx.</summary>
    public float WorkLux => WorkLight ? WorkShare * MathF.Pow(2, Ev100) : 0;

    public static Viewpoint Start { get; } = new(new Vector3(0, -14, 3), new Vector3(0, 3, 2.5f), 50 * Angles.RadiansPerDegree, 7, 960, 540);

    public Camera ToCamera() => new()
    {
        Name = "live",
        Position = Position,
        Target = Target,
        VerticalFieldRadians = FieldRadians,
        Ev100 = Ev100,
        Up = MathF.Abs(Vector3.Dot(Vector3.Normalize(Target - Position), Vector3.UnitZ)) > .9995f ? Vector3.UnitY : Vector3.UnitZ,
    };

    /// <summary>The ray through a point of the picture.</summary>
    /// <param name="x">0 (left) to 1 (right).</param>
    /// <param name="y">0 (top) to 1 (bottom).</param>
    public Ray RayThrough(float x, float y)
    {
        var up = ToCamera().Up;
        var forward = Vector3.Normalize(Target - Position);
        var right = Vector3.Normalize(Vector3.Cross(forward, up));
        var above = Vector3.Cross(right, forward);
        var t = Trig.Tan(FieldRadians / 2);
        var aspect = (float)Width / Height;
        return new Ray(Position, Vector3.Normalize(forward + (((2 * x) - 1) * t * aspect * right) + ((1 - (2 * y)) * t * above)), 2 * t / Height);
    }
}
