using System.Globalization;
using StageView.Show;

namespace StageView.App.Watching;

/// <summary>Lengths of time on the command line: <c>10s</c>, <c>5m</c>, <c>2h</c>, or a bare number of seconds.</summary>
internal static class Durations
{
    public static TimeSpan Read(string option, string text)
    {
        var unit = text.Length > 0 ? text[^1] : ' ';
        var factor = unit switch { 's' => 1, 'm' => 60, 'h' => 3600, _ => 0 };
        var number = factor == 0 ? text : text[..^1];
        if (!double.TryParse(number, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value)
            || value * Math.Max(1, factor) is not (> 0 and <= 864_000))
        {
            throw StopException.Wrong($"{option} {text}: not a length of time; write 10s, 5m, 2h or a number of seconds, at most ten days");
        }

        return TimeSpan.FromSeconds(value * Math.Max(1, factor));
    }
}
