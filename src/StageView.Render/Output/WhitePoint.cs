using System.Numerics;

namespace StageView.Render.Output;

/// <summary>White point of a picture: chromaticity of a colour temperature, and the adaptation that makes it neutral.</summary>
public static class WhitePoint
{
    /// <summary>Colour temperature of D65, K; adaptation from it is the identity.</summary>
    public const float D65Kelvin = 6504f;

    /// <summary>
    /// Chromaticity of a reference white: Planckian below 4000 K (Kang et al. 2002, cubic fit), the CIE daylight locus above 5000 K
    /// (CIE 015), a linear mix between: the families and the mixing range are those of the reference illuminants of CIE 224:2017 (mixed here by chromaticity,
    /// there by spectrum).
    /// </summary>
    /// <param name="kelvin">1667 to 25000; what lies outside is taken at the nearer end.</param>
    public static (double X, double Y) Chromaticity(double kelvin)
    {
        var t = Math.Clamp(kelvin, 1667, 25000);
        var mix = Math.Clamp((t - 4000) / 1000, 0, 1);
        var (px, py) = Planckian(t);
        var (dx, dy) = Daylight(Math.Max(t, 4000));
        return (px + ((dx - px) * mix), py + ((dy - py) * mix));
    }

    /// <summary>
    /// Linear Rec.709 to linear Rec.709 such that light of <paramref name="kelvin"/> comes out with the chromaticity of D65: linear
    /// Bradford (K. M. Lam 1985, matrix as in ICC.1:2022 annex E) between Rec.709's matrices of ITU-R BT.709.
    /// </summary>
    public static (Vector3 Row0, Vector3 Row1, Vector3 Row2) Adaptation(float kelvin)
    {
        var a = RgbFromXyz.Times(BetweenWhites(Chromaticity(kelvin), Chromaticity(D65Kelvin))).Times(XyzFromRgb);
        if (kelvin == D65Kelvin)
        {
            a = Matrix3.Identity;
        }

        return (a.Row(0), a.Row(1), a.Row(2));
    }

    /// <summary>
    /// What a projector of Rec.709's primaries turns its channels to for the white of <paramref name="kelvin"/>: that white in linear Rec.709, the largest
    /// channel 1. Its primaries, and so saturated colours, keep their chromaticity.
    /// </summary>
    public static Vector3 Gains(float kelvin)
    {
        if (kelvin == D65Kelvin)
        {
            return Vector3.One;
        }

        var (r, g, b) = RgbFromXyz.Times(Xyz(Chromaticity(kelvin)));
        var most = Math.Max(r, Math.Max(g, b));
        return Vector3.Max(new Vector3((float)(r / most), (float)(g / most), (float)(b / most)), Vector3.Zero);
    }

    /// <summary>Bradford adaptation of XYZ from one white to another.</summary>
    internal static Matrix3 BetweenWhites((double X, double Y) from, (double X, double Y) to)
    {
        var (a, b) = (Bradford.Times(Xyz(from)), Bradford.Times(Xyz(to)));
        return Bradford.Inverse().Times(Matrix3.Diagonal(b.X / a.X, b.Y / a.Y, b.Z / a.Z)).Times(Bradford);
    }

    private static readonly Matrix3 Bradford = new(0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296);

    /// <summary>Rec.709 primaries (.64, .33), (.30, .60), (.15, .06) and the white of <see cref="Chromaticity"/>(6504 K) to XYZ.</summary>
    internal static readonly Matrix3 XyzFromRgb = Primaries((0.64, 0.33), (0.30, 0.60), (0.15, 0.06), (0.3127, 0.3290));

    private static readonly Matrix3 RgbFromXyz = XyzFromRgb.Inverse();

    private static (double X, double Y, double Z) Xyz((double X, double Y) c) => (c.X / c.Y, 1, (1 - c.X - c.Y) / c.Y);

    private static Matrix3 Primaries((double X, double Y) r, (double X, double Y) g, (double X, double Y) b, (double X, double Y) w)
    {
        var (xr, xg, xb) = (Xyz(r), Xyz(g), Xyz(b));
        var p = new Matrix3(xr.X, xg.X, xb.X, xr.Y, xg.Y, xb.Y, xr.Z, xg.Z, xb.Z);
        var s = p.Inverse().Times(Xyz(w));
        return p.Times(Matrix3.Diagonal(s.X, s.Y, s.Z));
    }

    private static (double X, double Y) Planckian(double t)
    {
        var (i, i2, i3) = (1e3 / t, 1e6 / (t * t), 1e9 / (t * t * t));
        var x = t <= 4000
            ? (-0.2661239 * i3) - (0.2343589 * i2) + (0.8776956 * i) + 0.179910
            : (-3.0258469 * i3) + (2.1070379 * i2) + (0.2226347 * i) + 0.240390;
        var y = t <= 2222 ? Cubic(x, -1.1063814, -1.34811020, 2.18555832, -0.20219683)
            : t <= 4000 ? Cubic(x, -0.9549476, -1.37418593, 2.09137015, -0.16748867)
            : Cubic(x, 3.0817580, -5.87338670, 3.75112997, -0.37001483);
        return (x, y);
    }

    private static (double X, double Y) Daylight(double t)
    {
        var (i, i2, i3) = (1e3 / t, 1e6 / (t * t), 1e9 / (t * t * t));
        var x = t <= 7000
            ? (-4.6070 * i3) + (2.9678 * i2) + (0.09911 * i) + 0.244063
            : (-2.0064 * i3) + (1.9018 * i2) + (0.24748 * i) + 0.237040;
        return (x, Cubic(x, 0, -3, 2.87, -0.275));
    }

    private static double Cubic(double x, double a, double b, double c, double d) => (((((a * x) + b) * x) + c) * x) + d;
}
