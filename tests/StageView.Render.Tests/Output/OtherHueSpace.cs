using System.Numerics;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

/// <summary>
/// Hue in IPT: F. Ebner and M. D. Fairchild, "Development and testing of a color space (IPT) with improved hue uniformity", 1998. Scaling a light keeps its hue
/// there, too.
/// </summary>
internal static class OtherHueSpace
{
    /// <summary>Turn of the hue, degrees; not a number where one of them has hardly any chroma.</summary>
    public static float Shift(Vector3 from, Vector3 to)
    {
        var (a, b) = (Plane(from), Plane(to));
        if (b.Chroma < 0.02)
        {
            return float.NaN;
        }

        var d = (b.Hue - a.Hue) * 180 / Math.PI;
        return (float)(d > 180 ? d - 360 : d < -180 ? d + 360 : d);
    }

    private static (double Hue, double Chroma) Plane(Vector3 linear)
    {
        var (x, y, z) = WhitePoint.XyzFromRgb.Times((linear.X, linear.Y, linear.Z));
        double l = Power((0.4002 * x) + (0.7075 * y) - (0.0807 * z)), m = Power((-0.2280 * x) + (1.1500 * y) + (0.0612 * z)), s = Power(0.9184 * z);
        double p = (4.4550 * l) - (4.8510 * m) + (0.3960 * s), t = (0.8056 * l) + (0.3572 * m) - (1.1628 * s);
        return (Math.Atan2(t, p), Math.Sqrt((p * p) + (t * t)));
    }

    private static double Power(double v) => Math.Sign(v) * Math.Pow(Math.Abs(v), 0.43);
}
