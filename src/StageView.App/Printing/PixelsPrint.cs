using System.Globalization;
using System.Net;
using StageView.App.Sending;
using StageView.Ground.Words;
using StageView.Rig.Pieces;
using StageView.Show.Pixels;

namespace StageView.App.Printing;

/// <summary>How pixels that move are told to people and programs.</summary>
internal static class PixelsPrint
{
    private const int MostTimes = 20;

    /// <summary>The maps and contents of a rig.</summary>
    public static void Maps(RigScene rig, bool asJson)
    {
        if (asJson)
        {
            Answers.WriteJson(new
            {
                maps = rig.PixelMaps.Select(m => new { m.Name, kind = m.Kind.ToString(), fixtures = m.Fixtures.Count }),
                content = rig.Content.Select(c => new { c.Name, c.File, c.Map }),
            });
            return;
        }

        Answers.Table(["map", "kind", "fixtures"], rig.PixelMaps.Select(m => (string[])[m.Name, m.Kind.ToString(), $"{m.Fixtures.Count}"]));
        Answers.Table(["content", "file", "placed"], rig.Content.Select(c => (string[])[c.Name, c.File, Placed(c)]));
    }

    private static string Placed(ContentPlacement content) =>
        content.Through.Count > 0 ? $"thrown by {Counted.Of(content.Through.Count, "fixture")}" : content.Map is { } map ? $"by map {map}" : "thrown";

    public static string Title(PixelsAnswer answer, TrackedTime worst) => string.Create(CultureInfo.InvariantCulture,
        $"{answer.Map} at {worst.Seconds:0.00} s: rings where the map has pixels, dots where they are; up to {worst.Largest:0.000} m apart");

    public static void Print(PixelsAnswer answer, CorrectedReport? corrected, (SentReport Report, IPAddress To)? sent, bool asJson)
    {
        if (asJson)
        {
            Answers.WriteJson(new
            {
                answer.Map, answer.Content, answer.Pixels, wipe = answer.Wipe, answer.Worst, answer.Panels, answer.Times, corrected,
                sent = sent is { } s ? new { to = s.To.ToString(), s.Report.Universes, s.Report.Ticks, s.Report.LeftOut, s.Report.MostLateMs } : null,
                caution = sent is { } c && !IPAddress.IsLoopback(c.To) ? string.Join(" ", SendConsent.Caution(c.To)) : null,
            });
            return;
        }

        Console.WriteLine($"{answer.Map}: {Counted.Of(answer.Pixels, "pixel")}, {Counted.Of(answer.Times.Count, "time")} looked at");
        var shown = answer.Times.Count <= MostTimes ? answer.Times
            : [.. answer.Times.OrderByDescending(t => t.Largest).Take(MostTimes).OrderBy(t => t.Seconds)];
        Answers.Table(
            ["time s", "largest m", "pitches", "median m", string.Create(CultureInfo.InvariantCulture, $"wipe of {answer.Wipe:0.##} m/s wrong by ms"), "away",
                "picture wrong by", "worst"],
            shown.Select(t => (string[])
            [
                F($"{t.Seconds:0.00}"), F($"{t.Largest:0.000}"), F($"{t.Pitches:0.0}"), F($"{t.Median:0.000}"), F($"{t.WipeSeconds * 1000:0}"), F($"{t.Away}"),
                t.LevelError is { } e ? F($"{e * 100:0.0} %") : "·", t.Worst.Length > 0 ? t.Worst : "·",
            ]));
        if (answer.Times.Count > shown.Count)
        {
            Console.WriteLine($"these are the worst {shown.Count}; --json has all");
        }

        foreach (var panel in answer.Panels.Take(10))
        {
            Console.WriteLine(F($"{panel.Fixture}: {panel.Largest:0.000} m, {panel.Pitches:0.0} pitches, at {panel.Seconds:0.00} s"));
        }

        if (corrected is not null)
        {
            Console.WriteLine(F($"corrected levels: {Counted.Of(corrected.Ticks, "frame")} of universes {string.Join(", ", corrected.Universes)}"));
            Console.WriteLine((sent is null ? "Nothing was sent. " : "") + "'stageview replay' sends the file, to this machine unless an address is named: "
                + "that may light and dazzle. Panels that flash can harm; nothing here says that it is safe, local code and licensed practice decide.");
        }

        if (sent is { Report: { } report, To: { } to })
        {
            Console.WriteLine(F($"corrected levels: {Counted.Of(report.Ticks, "frame")} of universes {string.Join(", ", report.Universes)} sent to {to}, ")
                + F($"{report.LeftOut} left out for lack of time, the latest left {report.MostLateMs:F1} ms after its time"));
        }
    }

    private static string F(FormattableString text) => FormattableString.Invariant(text);
}
