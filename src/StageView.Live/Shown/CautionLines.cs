using System.Globalization;
using StageView.Live.Terms;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;

namespace StageView.Live.Shown;

/// <summary>An answer about cautions as the page shows it: the same rows as the command's.</summary>
internal static class CautionLines
{
    /// <summary>More rows than this are counted, not shown.</summary>
    public const int Most = 200;

    /// <summary>A row found within so many seconds of the newest time is so now.</summary>
    private const double Now = 2.5;

    /// <summary>Before the first look.</summary>
    public static CautionsState Unknown { get; } = new("Not looked yet.", [], 0, null, [], [], "");

    /// <summary>What was shown since a time of day.</summary>
    public static CautionsState Of(RigScene rig, CautionsAnswer answer, DateTimeOffset since, double newest, bool canSeek) => Of(
        rig, answer, "Shown since " + since.ToString("HH:mm:ss", CultureInfo.InvariantCulture), newest, canSeek);

    /// <summary>A whole capture.</summary>
    public static CautionsState OfCapture(RigScene rig, CautionsAnswer answer, string name) => Of(
        rig, answer, $"The whole of {name}", double.NegativeInfinity, canSeek: true);

    private static CautionsState Of(RigScene rig, CautionsAnswer answer, string over, double newest, bool canSeek)
    {
        var rows = CautionWords.Of(rig, answer)
            .Select(r => new CautionLine(
                r.Kind, r.Text, r.Usual, r.Fixture >= 0 ? rig.Fixtures[r.Fixture].Name : null, r.At, r.From, r.To,
                r.To >= newest - Now && !double.IsInfinity(newest),
                [r.Point.X, r.Point.Y, r.Point.Z], canSeek) { Key = r.Key })
            .OrderByDescending(r => r.Now).ToList();
        return new CautionsState(
            over, [.. rows.Take(Most)], Math.Max(0, rows.Count - Most), CautionWords.NothingChecked(rig, answer), [.. CautionWords.Looked(answer)],
            [.. CautionWords.NotLooked(answer)], CautionWords.Deference);
    }
}
