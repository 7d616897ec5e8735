using System.Numerics;

namespace StageView.Ground.Numbers;

/// <summary>
/// Trigonometry in single precision that is the same on every system. C libraries differ in the last bit of such results; worked out in double precision
/// and rounded, they agree but for about one in 10⁸.
/// </summary>
public static class Trig
{
    /// <param name="radians">Any finite angle.</param>
    public static float Sin(float radians) => (float)Math.Sin(radians);

    /// <param name="radians">Any finite angle.</param>
    public static float Cos(float radians) => (float)Math.Cos(radians);

    /// <param name="radians">Any finite angle.</param>
    public static (float Sin, float Cos) SinCos(float radians) => ((float)Math.Sin(radians), (float)Math.Cos(radians));

    /// <param name="radians">Any finite angle.</param>
    public static float Tan(float radians) => (float)Math.Tan(radians);

    /// <summary>In radians; not a number outside -1 to 1.</summary>
    public static float Asin(float sine) => (float)Math.Asin(sine);

    /// <summary>In radians; not a number outside -1 to 1.</summary>
    public static float Acos(float cosine) => (float)Math.Acos(cosine);

    /// <summary>In radians.</summary>
    public static float Atan(float tangent) => (float)Math.Atan(tangent);

    /// <summary>In radians, -π to π.</summary>
    public static float Atan2(float y, float x) => (float)Math.Atan2(y, x);

    public static float Cbrt(float value) => (float)Math.Cbrt(value);

    public static float Log10(float value) => (float)Math.Log10(value);

    /// <summary>The turn about an axis.</summary>
    /// <param name="axis">Of length 1.</param>
    /// <param name="radians">Counter-clockwise as seen against the axis.</param>
    public static Quaternion Turn(Vector3 axis, float radians)
    {
        var (sin, cos) = SinCos(radians * .5f);
        return new Quaternion(axis * sin, cos);
    }
}
