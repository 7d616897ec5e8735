using System.Globalization;

namespace StageView.Snapshot.Why;

/// <summary>Values in words, and when two of them differ enough to be told.</summary>
internal static class Amounts
{
    public static string Say(double? value, string unit, string? text)
    {
        if (value is not { } v)
        {
            return text ?? "";
        }

        var number = unit is "deg" or "%" ? v.ToString("0.##", CultureInfo.InvariantCulture)
            : Math.Abs(v) >= 1000 ? v.ToString("0", CultureInfo.InvariantCulture) : v.ToString("0.###", CultureInfo.InvariantCulture);
        var said = unit.Length == 0 ? number : unit is "deg" ? number + "°" : unit is "%" ? number + " %" : $"{number} {unit}";
        return text is null ? said : $"{text} ({said})";
    }

    /// <summary>A distance as people say it: below a metre in centimetres.</summary>
    public static string Distance(double metres) => metres >= 1 ? Say(metres, "m", null) : Say(100 * metres, "cm", null);

    public static bool Differ(double? a, string? textA, double? b, string? textB, string unit) =>
        textA != textB || (a is null) != (b is null) || (a is { } x && b is { } y && Math.Abs(x - y) > Least(unit, Math.Max(Math.Abs(x), Math.Abs(y))));

    /// <summary>Smallest difference told: below what a picture or a person could show.</summary>
    private static double Least(string unit, double size) => unit switch
    {
        "deg" => 0.01,
        "m" => 0.001,
        "%" => 0.05,
        "s" => 0.005,
        _ => Math.Max(1e-4, size * 0.0005),
    };
}
