using System.Globalization;
using System.Text.Json;
using StageView.Ground.Words;
using StageView.Paperwork.Lists;

namespace StageView.Show.Refocus;

/// <summary>Winches, turning mirrors, zoom and focus of an answer, in words, on sheets and in looks.</summary>
public static class RefocusAxes
{
    private const string Caution =
        "Nobody stands under what moves; what may hang and travel is decided by a qualified rigger. No open format carries a console's stored positions: an "
        + "operator stores them.";

    /// <summary>A sheet for winches and one for mirrors, where there are any; the positions of heads hold only with these.</summary>
    public static IEnumerable<PaperTable> Sheets(RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        if (answer.Winches.Count > 0)
        {
            yield return new PaperTable("focus-winches", "Focus: winches first",
                ["Done", "No", "Winch", "Hang", "Carries", "Now m", "Was m", "Addresses", "Raw", "First used"],
                [.. answer.Winches.Select(w => (IReadOnlyList<string>)["[  ]", w.FixtureNumber, w.Fixture, w.Hang, string.Join(", ", w.Carries), Metres(w.New),
                    Metres(w.Old), Join(w.Channels.Select(c => c.Addresses)), Join(w.Channels.Select(c => Raw(c.Value))), First(w.Times)])],
                [.. answer.Winches.Where(w => w.Lower != 0).Select(w => TooFar(w) + "."), Caution]);
        }

        if (answer.Mirrors.Count > 0)
        {
            yield return new PaperTable("focus-mirrors", "Focus: mirrors first",
                ["Done", "No", "Mirror", "Hang", "Pan", "Tilt", "Pan was", "Tilt was", "For", "First used"],
                [.. answer.Mirrors.Select(m => (IReadOnlyList<string>)["[  ]", m.FixtureNumber, m.Fixture, m.Hang, Degrees(m.NewPan), Degrees(m.NewTilt),
                    Degrees(m.OldPan), Degrees(m.OldTilt), Join(m.For), First(m.Times)])], [Caution]);
        }
    }

    /// <summary>What is said of them, a line each.</summary>
    public static IEnumerable<string> Lines(RefocusAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        foreach (var w in answer.Winches.GroupBy(w => w.Fixture).Select(g => g.ToList()))
        {
            yield return $"winch {w[0].Fixture}: {string.Join(", ", w.Select(h => $"{Metres(h.Old)} m is now {Metres(h.New)} m"))}, so that its load "
                + $"hangs as high over the floor{string.Concat(w.Where(h => h.Lower != 0).Select(h => "; " + TooFar(h)))}";
        }

        foreach (var m in answer.Mirrors)
        {
            yield return $"mirror {m.Fixture}: from pan {Degrees(m.OldPan)}, tilt {Degrees(m.OldTilt)} to pan {Degrees(m.NewPan)}, tilt "
                + $"{Degrees(m.NewTilt)} for {Counted.Of(m.For.Count, "position")}";
        }
    }

    /// <summary>"8 -> 9.31" for each zoom that a position uses.</summary>
    public static string Zooms(RefocusRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        return Join(row.Optics.Where(o => o.Zoom is not null).Select(o => Held(o.Zoom!.Value, o.ZoomThatHolds)));
    }

    /// <summary>The same for focus.</summary>
    public static string Focuses(RefocusRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        return Join(row.Optics.Where(o => o.Focus is not null).Select(o => Held(o.Focus!.Value, o.FocusThatHolds)));
    }

    /// <summary>Entries of a look or a cue: winches as high as the heads on them need, mirrors as those that go by them need.</summary>
    /// <param name="answer">The answer.</param>
    /// <param name="rows">The positions that the look or cue is for.</param>
    internal static IEnumerable<string> Entries(RefocusAnswer answer, IReadOnlyList<RefocusRow> rows) =>
    [
        .. answer.Winches.GroupBy(w => w.Fixture).Select(g => HeightFor([.. g], rows)).Where(w => w.Channels.Count > 0).Select(w => string.Create(
            CultureInfo.InvariantCulture,
            $"{{ \"fixtures\": {JsonSerializer.Serialize(w.Fixture)}, {JsonSerializer.Serialize(w.Channels[0].Attribute)}: {w.New:0.####} }}")),
        .. answer.Mirrors.GroupBy(m => m.Fixture)
            .Select(g => g.FirstOrDefault(m => rows.Any(r => m.For.Contains(RefocusFiles.Named(r)))) ?? g.First()).Select(m => string.Create(
                CultureInfo.InvariantCulture,
                $"{{ \"fixtures\": {JsonSerializer.Serialize(m.Fixture)}, \"pan\": {m.NewPan:0.####}, \"tilt\": {m.NewTilt:0.####} }}")),
    ];

    /// <summary>Where a winch stood when the first of its riders took its position; the first height for one that carries none of them.</summary>
    private static WinchRow HeightFor(List<WinchRow> heights, IReadOnlyList<RefocusRow> rows)
    {
        var rider = rows.FirstOrDefault(r => heights[0].Carries.Contains(r.Fixture));
        return rider is null ? heights[0]
            : heights.SelectMany(h => h.Times.Select(t => (Height: h, At: t))).Where(h => h.At <= rider.Times[0] + .02).OrderBy(h => h.At)
                .Select(h => h.Height).LastOrDefault() ?? heights[0];
    }

    private static string TooFar(WinchRow w) => string.Create(CultureInfo.InvariantCulture,
        $"at {w.Old:0.###} m it can't travel far enough: its load hangs {MathF.Abs(w.Lower):0.00} m {(w.Lower > 0 ? "lower" : "higher")} than before");

    private static string Held(float old, float? now) => string.Create(CultureInfo.InvariantCulture, $"{old:0.##} -> {(now is { } n ? $"{n:0.##}" : "none")}");

    private static string Join(IEnumerable<string> texts) => string.Join("; ", texts);

    private static string First(IReadOnlyList<double> times) => times.Count > 0 ? times[0].ToString("0.0 s", CultureInfo.InvariantCulture) : "";

    private static string Metres(float v) => (MathF.Round(v, 3) + 0f).ToString("0.000", CultureInfo.InvariantCulture);

    private static string Degrees(float v) => v.ToString("0.00", CultureInfo.InvariantCulture);

    private static string Raw(uint v) => v.ToString(CultureInfo.InvariantCulture);
}
