using System.Globalization;

namespace StageView.Render.Aids;

/// <summary>Numbers as they stand on pictures.</summary>
internal static class Figures
{
    /// <summary>Two significant digits below 1000, three above; never an exponent.</summary>
    public static string Short(float value)
    {
        if (!float.IsFinite(value) || value <= 0)
        {
            return "0";
        }

        var step = Math.Pow(10, Math.Floor(Math.Log10(value)) - (value >= 100 ? 2 : 1));
        var rounded = Math.Round(value / step) * step;
        var decimals = Math.Clamp(-(int)Math.Floor(Math.Log10(step) + 1e-9), 0, 6);
        return rounded.ToString("F" + decimals, CultureInfo.InvariantCulture);
    }
}
