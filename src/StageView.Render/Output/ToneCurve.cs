using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Render.Output;

/// <summary>
/// From luminance to what a screen shows: exposure, white point, a shoulder on the largest channel, whitening at constant
/// Oklab hue, and the gamut last. <c>shaders/include/tone.glsl</c> is its GPU twin, with the same constants.
/// </summary>
/// <remarks>
/// <para>x = white point matrix × colour / saturation luminance. With m the largest channel of x:
/// up to <see cref="Knee"/> nothing changes; above it m becomes k + (1-k)·u / (u + 1 - k) with u = m - k (value and slope
/// continuous at the knee, 1 at infinity) and the other channels keep their ratio to it. The result is then moved towards
/// white by u / (u + <see cref="Whitening"/>) along a straight line in Oklab, so its hue stays while an overexposed light
/// still turns white. A colour outside the gamut gives up chroma at constant Oklab lightness and hue.</para>
/// <para>The curve and its constants are our own; <c>docs/design/tone.md</c> has its hue table beside common curves.</para>
/// </remarks>
public sealed class ToneCurve
{
    /// <summary>Share of the saturation luminance up to which the picture is linear.</summary>
    public const float Knee = 0.3f;

    /// <summary>Overshoot, in saturation luminances, at which a light is half way to white.</summary>
    public const float Whitening = 24f;

    /// <summary>Input is cut here, so that no intermediate overflows.</summary>
    public const float Largest = 1e6f;

    private readonly Vector3 _row0;
    private readonly Vector3 _row1;
    private readonly Vector3 _row2;

    /// <param name="ev100">Exposure value at ISO 100; saturation luminance 1.2 × 2^EV100 cd/m².</param>
    /// <param name="whitePointKelvin">Light of this colour temperature comes out neutral, K; 6504 leaves D65 neutral.</param>
    /// <param name="projectorKelvin">White of what shows the picture, K; 6504 changes nothing. See <see cref="WhitePoint.Gains"/>.</param>
    public ToneCurve(float ev100, float whitePointKelvin = WhitePoint.D65Kelvin, float projectorKelvin = WhitePoint.D65Kelvin)
    {
        Gains = WhitePoint.Gains(projectorKelvin);
        SaturationLuminance = Exposure.SaturationLuminance(ev100);
        var m = WhitePoint.Adaptation(whitePointKelvin);
        var s = 1f / SaturationLuminance;
        (_row0, _row1, _row2) = (m.Row0 * s, m.Row1 * s, m.Row2 * s);
    }

    /// <summary>Exposure and both whites of a camera.</summary>
    public static ToneCurve Of(Camera camera) => new(camera.Ev100, camera.WhitePointKelvin, camera.ProjectorKelvin);

    /// <summary>What the projector's channels are turned to, after the curve, 0 to 1.</summary>
    public Vector3 Gains { get; }

    /// <summary>cd/m² that reach 1 before the curve.</summary>
    public float SaturationLuminance { get; }

    /// <summary>Rows of the matrix from cd/m² to the curve's input: what the composite shader takes as its uniform.</summary>
    public (Vector3 Row0, Vector3 Row1, Vector3 Row2) Rows => (_row0, _row1, _row2);

    /// <summary>Linear Rec.709 of the screen, each component 0 to 1, for a colour in cd/m².</summary>
    public Vector3 Apply(Vector3 candelaPerSquareMetre) => Gains * Shape(new Vector3(
        Vector3.Dot(_row0, candelaPerSquareMetre),
        Vector3.Dot(_row1, candelaPerSquareMetre),
        Vector3.Dot(_row2, candelaPerSquareMetre)));

    /// <summary>The curve alone, on a colour in saturation luminances.</summary>
    public static Vector3 Shape(Vector3 x)
    {
        x = Vector3.Clamp(x, new Vector3(-Largest), new Vector3(Largest));
        var m = MathF.Max(x.X, MathF.Max(x.Y, x.Z));
        if (!(m > 0))
        {
            return Vector3.Zero;
        }

        var least = MathF.Min(x.X, MathF.Min(x.Y, x.Z));
        if (m <= Knee && least >= 0)
        {
            return x;
        }

        var u = MathF.Max(m - Knee, 0);
        var peak = u > 0 ? Knee + ((1 - Knee) * u / (u + 1 - Knee)) : m;
        var lab = Oklab.FromLinear(x * (peak / m));
        var white = u / (u + Whitening);
        lab = Vector3.Lerp(lab, new Vector3(Trig.Cbrt(peak), 0, 0), white);
        return Oklab.ToGamut(lab);
    }
}
