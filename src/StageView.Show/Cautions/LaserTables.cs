using StageView.Show.Questions;
using static StageView.Show.Cautions.LaserWords;

namespace StageView.Show.Cautions;

/// <summary>An answer about lasers as tables, for the command and for the dossier.</summary>
public static class LaserTables
{
    /// <summary>Heads and rows of one table.</summary>
    public sealed record Table(string Title, IReadOnlyList<string> Columns, IReadOnlyList<IReadOnlyList<string>> Rows);

    public static Table Lasers(LasersAnswer answer) => new(
        "Lasers",
        ["laser", "apertures", "W each", "nm", "aperture mm", "divergence mrad", "figure", "W seen", "hazard distance m", "scanner stopped m",
            "at full, still m", "after mirrors m", "from matt m"],
        [.. Of(answer).Lasers.Select(l => (string[])
        [
            l.Fixture, $"{l.Apertures}", Figure(l.Watts), string.Join(' ', l.Wavelengths), Figure(1000 * l.ApertureMetres), Figure(1000 * l.DivergenceRadians),
            l.SeenWatts <= 0 ? "not lit" : l.Scans.Count == 0 ? "still" : string.Join(' ', l.Scans), Figure(l.SeenWatts), Metres(l.HazardDistance),
            Metres(l.StillHazardDistance), Metres(l.FullHazardDistance), Metres(l.MirrorHazardDistance), Metres(l.DiffuseHazardDistance),
        ])]);

    public static Table Ends(LasersAnswer answer) => new(
        "Where rays end",
        ["end", "laser", "by way of", "ends on", "at x, y, z", "path m", "W there", "W/m2 there", "exposure / limit", "hazard distance m", "from matt m",
            "when s"],
        [.. Of(answer).Ends.Select(e => (string[])
        [
            $"E{e.Number}", e.Fixture, e.Mirrors.Count == 0 ? "direct" : string.Join(", ", e.Mirrors), e.IsOpen ? "nothing within 200 m" : e.Surface,
            Texts.Point(e.Point), Texts.F(e.PathMetres), Figure(e.Watts), Figure(e.Irradiance), Figure(e.ExposureRatio), Metres(e.HazardDistance),
            Metres(e.DiffuseHazardDistance) + (e.VolumeInDiffuse.Length > 0 ? $", reaches {e.VolumeInDiffuse}" : ""), Times(e.Times),
        ])]);

    public static Table Volumes(LasersAnswer answer) => new(
        "Over and beside people",
        ["laser", "volume", "least height m", "least distance m", "there x, y, z", "listed", "exposure / limit", "when s"],
        [.. Of(answer).Volumes.Select(v => (string[])
        [
            v.Fixture, v.Volume + (v.IsCrew ? " (crew)" : ""), v.LeastHeight is { } h ? Texts.F(h, "0.00") : "passes beside",
            Texts.F(v.LeastSeparation, "0.00"), Texts.Point(v.Point), v.Enters ? "enters" : v.IsListed ? "near" : "",
            v.Enters ? Figure(v.ExposureRatio) : "", Times(v.Times),
        ])]);

    /// <summary>Mirrors within reach, a row for each laser.</summary>
    /// <param name="answer">The answer.</param>
    /// <param name="most">Mirrors named in a row.</param>
    public static Table Mirrors(LasersAnswer answer, int most) => new(
        "Mirrors within reach",
        ["laser", "turns or scans", "mirrors met now", "could be met", "of them on moving parts"],
        [.. Of(answer).Mirrors.GroupBy(m => m.Fixture).Select(g => (string[])
        [
            g.Key, g.First().LaserTurns ? "yes" : "no", Named(g.Where(m => m.IsMet), most), Named(g.Where(m => !m.IsMet), most),
            $"{g.Count(m => m.MirrorTurns)}",
        ])]);

    public static Table Spells(LasersAnswer answer) => new(
        "When each is on",
        ["laser", "from s", "to s", "W all apertures", "pan", "tilt", "figure"],
        [.. Of(answer).Times.Select(t => (string[])
            [t.Fixture, Texts.F(t.From, "0.00"), Texts.F(t.To, "0.00"), Figure(t.Watts), Range(t.Pan), Range(t.Tilt), string.Join(' ', t.Scans)])]);

    private static LasersAnswer Of(LasersAnswer answer) => answer ?? throw new ArgumentNullException(nameof(answer));

    private static string Named(IEnumerable<LaserMirror> mirrors, int most)
    {
        var names = mirrors.OrderBy(m => m.Metres).Select(m => m.Mirror).Distinct().ToList();
        return names.Count == 0 ? "none" : string.Join(", ", names.Take(most)) + (names.Count > most ? $" and {names.Count - most} more" : "");
    }
}
