using System.Globalization;
using StageView.Snapshot.Compare;

namespace StageView.Snapshot.Why;

/// <summary>Faint changes of areas in words: where, how much of the frame, and what they did.</summary>
public static class AreaWords
{
    private static readonly string[] _channels = ["red", "green", "blue"];

    public static string Of(AreaChange area)
    {
        ArgumentNullException.ThrowIfNull(area);
        return string.Create(CultureInfo.InvariantCulture, $"{Where(area)}, {Math.Max(1, Math.Round(100 * area.Share)):0} % of the frame: {What(area)}");
    }

    private static string What(AreaChange area) => area.Kind switch
    {
        AreaChangeKind.Moved => "moved by " + Way(area),
        AreaChangeKind.Shifted => "light moved " + Direction(area),
        AreaChangeKind.Tinted => Tint(area),
        _ => string.Create(CultureInfo.InvariantCulture, $"{Levels(Math.Abs(Grey(area.After) - Grey(area.Before)))} ")
            + (area.Kind == AreaChangeKind.Brighter ? "brighter" : "darker") + Percent(area),
    };

    private static string Way(AreaChange area)
    {
        var (right, down) = (Math.Round(area.Right, 1), Math.Round(area.Down, 1));
        var parts = new List<string>();
        if (Math.Abs(right) >= 0.2)
        {
            parts.Add(string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(right):0.#} px to the {(right > 0 ? "right" : "left")}"));
        }

        if (Math.Abs(down) >= 0.2)
        {
            parts.Add(string.Create(CultureInfo.InvariantCulture, $"{Math.Abs(down):0.#} px {(down > 0 ? "down" : "up")}"));
        }

        return parts.Count == 0 ? "less than a pixel" : string.Join(", ", parts);
    }

    private static string Direction(AreaChange area)
    {
        var (across, along) = (area.Right > 0 ? "to the right" : "to the left", area.Down > 0 ? "down" : "up");
        var (x, y) = (Math.Abs(area.Right), Math.Abs(area.Down));
        return x > 2 * y ? across : y > 2 * x ? along : $"{across} and {along}";
    }

    private static string Tint(AreaChange area)
    {
        var most = Enumerable.Range(0, 3).MaxBy(c => Math.Abs(area.After[c] - area.Before[c]));
        var by = area.After[most] - area.Before[most];
        var said = $"tinted, {Levels(Math.Abs(by))} {(by > 0 ? "more" : "less")} {_channels[most]}";
        return Math.Abs(area.HueDegrees) is >= 0.5 and < 90
            ? string.Create(CultureInfo.InvariantCulture, $"{said}, hue turned by {Math.Abs(area.HueDegrees):0.#}°") : said;
    }

    /// <summary>Of light, where there was some to speak of.</summary>
    private static string Percent(AreaChange area)
    {
        var (was, now) = (SrgbLight.Of(Grey(area.Before)), SrgbLight.Of(Grey(area.After)));
        return Grey(area.Before) < 2 || Math.Abs((now / was) - 1) < 0.005 ? ""
            : string.Create(CultureInfo.InvariantCulture, $" (some {Math.Abs((now / was) - 1) * 100:0} % {(now > was ? "more" : "less")} light)");
    }

    private static string Levels(double levels) =>
        string.Create(CultureInfo.InvariantCulture, $"{levels:0.0} {(Math.Abs(levels - 1) < 0.05 ? "level" : "levels")}");

    private static double Grey(IReadOnlyList<double> rgb) => (rgb[0] + (2 * rgb[1]) + rgb[2]) / 4;

    private static string Where(AreaChange area)
    {
        if (area.Share > 0.6)
        {
            return "nearly all over";
        }

        var across = area.X < 0.36 ? "left" : area.X > 0.64 ? "right" : "";
        var up = area.Y < 0.36 ? "top" : area.Y > 0.64 ? "bottom" : "";
        return (up, across) switch { ("", "") => "in the middle", ("", _) => across, (_, "") => up, _ => $"{up} {across}" };
    }
}
