using System.Globalization;
using System.Numerics;

namespace StageView.Snapshot.Why;

/// <summary>Colours as people call them.</summary>
public static class ColourWords
{
    // Twelve hues, 30 degrees apart round the wheel of red, green and blue.
    private static readonly string[] _hues =
        ["red", "orange", "yellow", "lime", "green", "mint", "cyan", "azure", "blue", "violet", "magenta", "rose"];

    /// <summary>By CIE 1931 chromaticity: near-white with its temperature (McCamy 1992), else by its hue.</summary>
    public static string Of(double x, double y)
    {
        if (y <= 0)
        {
            return "none";
        }

        // Linear shares of Rec.709's primaries (ITU-R BT.709, D65).
        var (bigX, bigZ) = (x / y, (1 - x - y) / y);
        var rgb = new Vector3(
            (float)((3.2405 * bigX) - 1.5371 - (0.4985 * bigZ)), (float)((-0.9693 * bigX) + 1.8760 + (0.0416 * bigZ)),
            (float)((0.0556 * bigX) - 0.2040 + (1.0572 * bigZ)));
        var n = (x - 0.3320) / (0.1858 - y);
        var kelvin = (449 * n * n * n) + (3525 * n * n) + (6823.3 * n) + 5520.33;
        // Beyond x of .48, some 2400 K, what lies on the locus is called by its hue.
        var white = kelvin is > 1_500 and < 12_000 && x < 0.48 && Math.Abs(y - Locus(x)) < 0.015;
        return (white ? string.Create(CultureInfo.InvariantCulture, $"white of {Math.Round(kelvin / 50) * 50:0} K") : Of(rgb))
            + string.Create(CultureInfo.InvariantCulture, $" ({x:0.###}, {y:0.###})");
    }

    /// <summary>By linear shares of red, green and blue.</summary>
    public static string Of(Vector3 rgb)
    {
        var most = Math.Max(rgb.X, Math.Max(rgb.Y, rgb.Z));
        var least = Math.Max(0, Math.Min(rgb.X, Math.Min(rgb.Y, rgb.Z)));
        if (most <= 0)
        {
            return "black";
        }

        // As an eye steps: shares to the power 1/2.2.
        var (r, g, b) = (Eye(rgb.X / most), Eye(rgb.Y / most), Eye(rgb.Z / most));
        var span = 1 - Eye(least / most);
        if (span < 0.06f)
        {
            return "white";
        }

        var hue = 60 * (r >= g && r >= b ? (g - b) / span : g >= b ? 2 + ((b - r) / span) : 4 + ((r - g) / span));
        return (span < 0.4f ? "pale " : "") + _hues[(int)Math.Round(((hue + 360) % 360) / 30) % 12];
    }

    /// <summary>y of the daylight locus, a good Planckian one down to about 3000 K (CIE 15:2004, 3.1).</summary>
    private static double Locus(double x) => (-3 * x * x) + (2.87 * x) - 0.275;

    private static float Eye(float share) => MathF.Pow(Math.Clamp(share, 0, 1), 1 / 2.2f);
}
