using System.Globalization;
using System.Text.RegularExpressions;

namespace StageView.Rig.Sheets;

/// <summary>Reads numbers as data sheets and people write them: with or without a unit, one or a range of two.</summary>
internal static partial class SheetNumbers
{
    /// <param name="text">Such as <c>8-45</c>, <c>540°</c>, <c>-270..270 deg</c>, <c>2.8 s</c>, <c>12,000 lm</c>.</param>
    /// <param name="from">The first number.</param>
    /// <param name="to">The second, or the first again.</param>
    /// <param name="unit">What stands behind, without blanks; empty where nothing does.</param>
    public static bool TryRead(string text, out float from, out float to, out string unit)
    {
        (from, to, unit) = (0, 0, "");
        var match = Range().Match(Thousands().Replace(text, ""));
        if (!match.Success || !Parse(match.Groups[1].Value, out from))
        {
            return false;
        }

        unit = (match.Groups[4].Success && match.Groups[4].Length > 0 ? match.Groups[4] : match.Groups[2]).Value.Trim();
        to = from;
        return !match.Groups[3].Success || Parse(match.Groups[3].Value, out to);
    }

    private static bool Parse(string text, out float value) =>
        float.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out value) && float.IsFinite(value);

    [GeneratedRegex(@"^\s*([+-]?\d*\.?\d+)\s*([a-zA-Z°/²]*)\s*(?:(?:-|–|to|\.\.)\s*([+-]?\d*\.?\d+)\s*([a-zA-Z°/²]*))?\s*$")]
    private static partial Regex Range();

    [GeneratedRegex(@"(?<=\d),(?=\d{3}(?!\d))")]
    private static partial Regex Thousands();
}
