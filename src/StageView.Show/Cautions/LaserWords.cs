using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Show.Questions;

namespace StageView.Show.Cautions;

/// <summary>What is said with every answer about lasers, and how its figures are written.</summary>
public static class LaserWords
{
    /// <summary>Stands under the command's answer and on the dossier's cover.</summary>
    public const string Deference =
        "Figures worked out from the rig file and the levels, to talk over: nothing here says that anything is safe. The laser safety officer, local code and "
        + "licensed practice decide; measure on site. Keep lasers off until the space is clear, mask what must not be lit, keep the emergency stop at hand, "
        + "and never look into a beam or its mirror image.";

    /// <summary>How heights are meant.</summary>
    public const string Heights =
        "height: of the lowest ray over the volume's floor, least distance from the volume; listed: enters, or passes closer than the limits above and beside";

    /// <summary>A distance in metres; "beyond 100 km" where the search ended.</summary>
    public static string Metres(double metres) => metres switch
    {
        <= 0 => "0",
        >= 1e5 => "> 100000",
        < 10 => Texts.F(metres, "0.00"),
        < 100 => Texts.F(metres),
        _ => Texts.F(metres, "0"),
    };

    /// <summary>Three figures.</summary>
    public static string Figure(double value) => value.ToString(
        value is 0 ? "0" : Math.Abs(value) is >= 100 and < 1e5 ? "0" : Math.Abs(value) is >= 0.001 and < 1e5 ? "G3" : "0.0e0", CultureInfo.InvariantCulture);

    public static string Times(IReadOnlyList<(double From, double To)> times, int most = 6)
    {
        ArgumentNullException.ThrowIfNull(times);
        return string.Join(" ", times.Take(most).Select(t => t.From == t.To ? Texts.F(t.From) : $"{Texts.F(t.From)}-{Texts.F(t.To)}"))
            + (times.Count > most ? $" and {times.Count - most} more" : "");
    }

    public static string Range((double From, double To)? degrees) => degrees is not { } d ? ""
        : Math.Abs(d.To - d.From) < 0.05 ? Texts.F(d.From) : $"{Texts.F(d.From)} to {Texts.F(d.To)}";

    /// <summary>A limit with its value, unit, meaning and source.</summary>
    public static string Limit(CautionLimit limit)
    {
        ArgumentNullException.ThrowIfNull(limit);
        return $"{limit.Key} {limit.Value.ToString("0.######", CultureInfo.InvariantCulture)} {limit.Unit}: {limit.Meaning} ({limit.Source})";
    }
}
