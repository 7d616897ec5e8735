using StageView.Ground.Drawings;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Show.Questions;

namespace StageView.Show.Cautions;

/// <summary>What a dossier's cover says of where it comes from.</summary>
/// <param name="Venue">The venue file, or empty.</param>
/// <param name="Date">Date or revision, or empty for a blank.</param>
/// <param name="Levels">Where the levels came from.</param>
public sealed record DossierFacts(string Venue, string Date, string Levels);

/// <summary>The dossier for the laser safety officer as a PDF: cover, plan, side view, tables, timeline, limits, what was not checked, blanks.</summary>
public static class LaserDossier
{
    private const string Title = "Laser dossier";
    private const int ReasonsOnCover = 7;

    /// <exception cref="FileNotFoundException">The machine has no font.</exception>
    public static byte[] Write(RigScene rig, LasersAnswer answer, DossierFacts facts)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(answer);
        ArgumentNullException.ThrowIfNull(facts);
        return PdfWriter.Write(Pages(rig, answer, facts));
    }

    /// <summary>The pages, for whoever writes them otherwise.</summary>
    public static IReadOnlyList<Drawing> Pages(RigScene rig, LasersAnswer answer, DossierFacts facts)
    {
        var foot = "Not a statement that anything is safe: the laser safety officer, local code and licensed practice decide.";
        var stamp = PaperStamp.Of(rig, facts.Date);
        var heading = $"{stamp.Heading}: {Title.ToLowerInvariant()}";
        var (cover, rest) = (new ReportPages("cover", heading, foot), new ReportPages("tables", heading, foot));
        Cover(cover, rig, answer, facts);
        Tables(rest, answer);
        var drawings = RigDrawings.With(rig, Overlay(answer), stamp);
        var all = cover.Count + drawings.Count + rest.Count;
        return [.. cover.Numbered(1, all), .. drawings, .. rest.Numbered(cover.Count + drawings.Count + 1, all)];
    }

    private static void Cover(ReportPages pages, RigScene rig, LasersAnswer answer, DossierFacts facts)
    {
        pages.Heading($"{Title}: {rig.Name}", 8);
        pages.Paragraph(LaserWords.Deference, 3.4f);
        pages.Table(["what", "from what"],
        [
            ["rig file", Path.GetFileName(rig.File)],
            ["venue file", facts.Venue.Length > 0 ? Path.GetFileName(facts.Venue) : "none"],
            ["levels", facts.Levels],
            ["moments looked at", $"{answer.Moments.Count}, from {Texts.F(answer.Moments.From, "0.00")} s to {Texts.F(answer.Moments.To, "0.00")} s"],
            ["lasers", $"{answer.Lasers.Sum(l => l.Apertures)} apertures of {answer.Lasers.Select(l => l.Fixture).Distinct().Count()} fixtures; lit: "
                + $"{answer.Lasers.Where(l => l.SeenWatts > 0).Select(l => l.Fixture).Distinct().Count()} fixtures"],
            ["limit used", $"{Texts.F(answer.IrradianceLimit, "0.00")} W/m2 for one exposure of {answer.Limits.ExposureSeconds:0.####} s to visible light"],
        ]);
        pages.Heading("Reasons to look");
        var reasons = LaserReasons.Of(answer);
        foreach (var reason in reasons.Take(ReasonsOnCover))
        {
            pages.Paragraph("- " + reason);
        }

        if (reasons.Count > ReasonsOnCover)
        {
            pages.Paragraph($"- and {reasons.Count - ReasonsOnCover} more, in the tables");
        }

        pages.Heading("To be filled in");
        foreach (var label in (string[])["Show and venue", "Date and revision" + (facts.Date.Length > 0 ? $" (drawn as {facts.Date})" : ""),
            "Laser safety officer, name", "Measured on site: what, where, with what", "Masks and emergency stops tested by", "Signature"])
        {
            pages.Blank(label);
        }
    }

    private static void Tables(ReportPages pages, LasersAnswer answer)
    {
        foreach (var table in (LaserTables.Table[])[LaserTables.Lasers(answer), LaserTables.Ends(answer), LaserTables.Volumes(answer),
            LaserTables.Mirrors(answer, 60)])
        {
            Put(pages, table);
            if (table.Title == LaserTables.Volumes(answer).Title)
            {
                pages.Paragraph(LaserWords.Heights + ".");
            }
        }

        pages.Heading("Timeline");
        if (answer.Times.Count > 0 && answer.Moments.To > answer.Moments.From)
        {
            pages.Bars([.. answer.Times.GroupBy(t => t.Fixture).OrderBy(g => g.Key, StringComparer.Ordinal)
                .Select(g => (g.Key, (IReadOnlyList<(double, double)>)[.. g.Select(t => (t.From, t.To))]))], answer.Moments.From, answer.Moments.To);
        }

        Put(pages, LaserTables.Spells(answer));

        pages.Heading("Limits used");
        pages.Table(["limit", "value", "what it decides", "source"],
            [.. answer.Limits.Laser.Select(l => (string[])[l.Key, $"{l.Value:0.######} {l.Unit}", l.Meaning, l.Source])]);
        pages.Paragraph("Irradiance E = 4P / (pi (a + phi r)^2) and hazard distance (sqrt(4P / (pi limit)) - a) / phi: IEC 60825-14, ANSI Z136.1. Limit "
            + "18 t^0.75 J/m2 for 5 us to 10 s, 2e-3 J/m2 below, 400 to 700 nm: IEC 60825-1:2014, table A.1. Scanned figures: the most restrictive of single "
            + "pulse, average and repeated pulses with C5, 4.3 f of the same. Matt surfaces: r = sqrt(rho P cos / (pi limit)), Lambert's law; mirrors: the "
            + "unfolded way with the power that each leaves. Standards are cited as others cite them; read your own copy.");
        pages.Heading("What was not checked");
        pages.Table(["what", "why"], [.. answer.NotChecked.Select(n => (string[])[n.What, n.Why])]);
    }

    private static void Put(ReportPages pages, LaserTables.Table table)
    {
        pages.Heading(table.Title);
        if (table.Rows.Count == 0)
        {
            pages.Paragraph("None found by this check.");
            return;
        }

        pages.Table(table.Columns, table.Rows);
    }

    private static DrawingOverlay Overlay(LasersAnswer answer) => new(
        Title,
        [.. answer.Rays.Select(r => new OverlayRay(r.Leg.Origin, r.Leg.Origin + (r.Leg.Direction * r.Leg.Length),
            (float)Math.Clamp(r.HazardDistance - r.Leg.PathBefore, 0, r.Leg.Length)))],
        [.. answer.Ends.Select(e => new OverlayMark(e.From, e.Point, $"E{e.Number}", (float)e.DiffuseHazardDistance))],
        answer.Lasers.Select(l => l.Index.Value).ToHashSet(),
        [
            "thin line on a grey band: a ray within its hazard distance; dashed: beyond it",
            "E1, E2: ends of rays as numbered in the table; circle: hazard distance from the matt surface there",
            answer.RaysLeftOut > 0 ? $"{answer.RaysLeftOut} further rays are not drawn" : "dashed outlines: volumes in which people may be",
        ]);
}
