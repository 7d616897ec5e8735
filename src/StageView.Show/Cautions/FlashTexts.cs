using System.Globalization;
using StageView.Light.Cautions.Flashes;

namespace StageView.Show.Cautions;

/// <summary>How flashes are told.</summary>
public static class FlashTexts
{
    /// <summary>Stands under every answer.</summary>
    public const string Deference =
        "These are reasons to look, worked out from the rig file and the recorded levels, not measured; nothing here says that anything is safe. People differ "
        + "in what flashes and bright light do to them. Local code, the venue, and who is licensed for the show decide.";

    /// <summary>Minutes and seconds, such as 1:02.5; hours before them from one on.</summary>
    public static string Clock(double seconds)
    {
        var tenths = (long)Math.Round(seconds * 10);
        var (h, m, s) = (tenths / 36_000, tenths / 600 % 60, tenths % 600 / 10.0);
        var text = h > 0 ? $"{h}:{m:00}:" : $"{m}:";
        return text + (tenths % 10 == 0 ? s.ToString("00", CultureInfo.InvariantCulture) : s.ToString("00.0", CultureInfo.InvariantCulture));
    }

    /// <summary>From one time to another, or the one.</summary>
    public static string Clock(double from, double to) => to - from < 0.05 ? Clock(from) : $"{Clock(from)} to {Clock(to)}";

    public static string Kind(FlashKind kind) => kind == FlashKind.Red ? "red" : "general";

    /// <summary>A whole percentage; a part of the view is never more than all of it, however its cells add up.</summary>
    public static string Share(double share) => (Math.Min(share, 1) * 100).ToString("0", CultureInfo.InvariantCulture) + " %";

    /// <summary>A rate, flashes a second.</summary>
    public static string Rate(double rate) => rate.ToString(rate < 10 ? "0.#" : "0", CultureInfo.InvariantCulture);
}
