using System.Globalization;
using StageView.Ground.Drawings;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Paperwork.Changes;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Paperwork.Advance;

/// <summary>One PDF for a venue: what the tour brings and asks for there, what is different, and drawings with the tour's own rig behind the venue's.</summary>
public static class AdvancePack
{
    private const string Foot =
        "A basis for talk, not an approval: a licensed electrician, a qualified rigger, the laser safety officer and local code decide.";

    /// <summary>Nearer than this a structure hangs where the tour's own rig has it, m.</summary>
    private const float Moved = .02f;

    /// <param name="tour">The tour's own rig, without a venue.</param>
    /// <param name="venue">The rig in the venue.</param>
    /// <param name="yesterday">The rig in the venue before, or null.</param>
    /// <param name="stamp">The venue's.</param>
    /// <param name="frontLight">What is asked of the house's front light, or null.</param>
    /// <exception cref="FileNotFoundException">The machine has no font.</exception>
    public static IReadOnlyList<Drawing> Pages(RigScene tour, RigScene venue, RigScene? yesterday, PaperStamp stamp, FrontLightSection? frontLight = null)
    {
        ArgumentNullException.ThrowIfNull(tour);
        ArgumentNullException.ThrowIfNull(venue);
        ArgumentNullException.ThrowIfNull(stamp);
        var pages = new ReportPages("advance", $"{stamp.Heading}: advance", $"{Foot} {stamp.Made}");
        Cover(pages, tour, venue);
        Positions(pages, tour, venue);
        Power(pages, venue);
        FrontLight(pages, frontLight);
        Notices(pages, venue);
        Differences(pages, "Different from the tour's own rig", tour, venue);
        if (yesterday is not null)
        {
            Differences(pages, $"Different from {(yesterday.Venue.Length > 0 ? yesterday.Venue : "yesterday")}", yesterday, venue);
        }

        pages.Heading("To be filled in");
        foreach (var label in (string[])["House contact", "Rigging plot approved by", "Supply: kind, rating, place", "Load-in from, doors at",
            "Haze allowed, detectors isolated by"])
        {
            pages.Blank(label);
        }

        var drawings = RigDrawings.With(venue, AdvanceOverlay.Of(tour, venue), stamp);
        return [.. pages.Numbered(1, pages.Count + drawings.Count), .. drawings];
    }

    private static void Cover(ReportPages pages, RigScene tour, RigScene venue)
    {
        pages.Heading($"{tour.Name} at {(venue.Venue.Length > 0 ? venue.Venue : "this venue")}", 8);
        pages.Heading("What the tour brings");
        var own = tour.Fixtures.Select(f => f.Name).ToHashSet(StringComparer.Ordinal);
        pages.Table(["type", "mode", "count", "kW each", "kg each"], [.. venue.Fixtures.Where(f => own.Contains(f.Name))
            .GroupBy(f => (f.Profile.Name, Mode: f.Mode.Name)).OrderBy(g => g.Key.Name, StringComparer.Ordinal).Select(g => (IReadOnlyList<string>)[
                g.Key.Name, g.Key.Mode, Int(g.Count()), F((g.First().Profile.PowerWatts ?? 0) / 1000, "0.00", "not stated"),
                F(g.First().Profile.WeightKilograms ?? 0, "0.0", "not stated")])]);
        Pieces(pages, tour, venue);
        var house = venue.Fixtures.Where(f => !own.Contains(f.Name)).ToList();
        pages.Heading("What the house must have");
        if (house.Count > 0)
        {
            pages.Table(["type", "mode", "count", "position", "addresses"], [.. house.GroupBy(f => (f.Profile.Name, Mode: f.Mode.Name, f.Position))
                .Select(g => (IReadOnlyList<string>)[g.Key.Name, g.Key.Mode, Int(g.Count()), g.Key.Position,
                    string.Join(", ", g.SelectMany(f => f.Patch.Select(p => p.Start.ToString())))])]);
        }

        pages.Paragraph((house.Count > 0 ? "Beside these fixtures: " : "No fixtures of its own, but ")
            + "the hanging points, trims and loads of the next table, and the supply of the one after it.");
        var universes = venue.Fixtures.SelectMany(f => f.Patch).Select(p => (int)p.Start.Universe.Value).Distinct().Order().ToList();
        pages.Paragraph(universes.Count == 0 ? "Data: nothing is patched." : $"Data: lines for {Counted.Of(universes.Count, "universe")}, {Runs(universes)}.");
    }

    /// <summary>What the tour brings beside fixtures: what it states a weight of, and its mirrors.</summary>
    private static void Pieces(ReportPages pages, RigScene tour, RigScene venue)
    {
        var own = tour.Scenery.Select(s => s.Name).ToHashSet(StringComparer.Ordinal);
        var rows = venue.Scenery.Where(s => s.WeightKilograms > 0 && own.Contains(s.Name)).GroupBy(s => s.Name).OrderBy(g => g.Key, StringComparer.Ordinal)
            .Select(g => (IReadOnlyList<string>)[g.Key, Int(g.Count()), F(g.Sum(s => s.WeightKilograms), "0", "not stated")]).ToList();
        if (rows.Count > 0)
        {
            pages.Table(["structures and pieces", "count", "kg stated, all"], rows);
        }

        var mirrors = venue.Mirrors.Where(m => tour.Mirrors.Any(t => t.Name == m.Name)).Select(m => m.Name).ToList();
        if (mirrors.Count > 0)
        {
            pages.Paragraph($"Mirrors: {mirrors.Count}, {string.Join(", ", mirrors.Take(8))}{(mirrors.Count > 8 ? ", and so on" : "")}.");
        }
    }

    /// <summary>"1 to 4, 9".</summary>
    private static string Runs(List<int> sorted)
    {
        var runs = new List<(int From, int To)>();
        foreach (var n in sorted)
        {
            if (runs.Count > 0 && runs[^1].To == n - 1)
            {
                runs[^1] = (runs[^1].From, n);
            }
            else
            {
                runs.Add((n, n));
            }
        }

        return string.Join(", ", runs.Select(r => r.From == r.To ? Int(r.From) : $"{Int(r.From)} to {Int(r.To)}"));
    }

    private static void Positions(ReportPages pages, RigScene tour, RigScene venue)
    {
        pages.Heading("Positions: trims and loads");
        var (roots, before) = (PlacesAtRest.Roots(venue), PlacesAtRest.Roots(tour));
        var rows = new List<IReadOnlyList<string>>();
        foreach (var p in venue.Fixtures.Select(f => f.Position).Concat(venue.Scenery.Where(s => s.WeightKilograms > 0).Select(s => s.Position)).Distinct()
            .Order(StringComparer.Ordinal))
        {
            var trim = Trim(venue, roots, p);
            var was = Trim(tour, before, p);
            var weight = venue.Fixtures.Where(f => f.Position == p).Sum(f => f.Profile.WeightKilograms ?? 0)
                + venue.Scenery.Where(s => s.Position == p).Sum(s => s.WeightKilograms);
            rows.Add([p.Length > 0 ? p : "without a position", F(trim, "0.00", "–"),
                was is null ? "only here" : trim is { } t && Math.Abs(t - was.Value) > Moved ? F(was, "0.00", "–") : "as here",
                Int(venue.Fixtures.Count(f => f.Position == p)), F(weight, "0", "not stated")]);
        }

        pages.Table(["position", "trim m", "in the tour's own rig m", "fixtures", "kg stated"], rows);
        pages.Paragraph("Trim is the highest hanging point over the deck. Weights are the profiles' and the rig file's, added up: cables, clamps, motors and "
            + "dynamic loads are not in them. They are no structural calculation: a qualified rigger decides under local codes.");
    }

    private static float? Trim(RigScene rig, Pose[] roots, string position) =>
        rig.Fixtures.Where(f => f.Position == position).Select(f => (float?)roots[f.Index.Value].Position.Z).DefaultIfEmpty(null).Max();

    private static void Power(ReportPages pages, RigScene venue)
    {
        pages.Heading("Power by phase");
        pages.Table(["phase", "fixtures", "kW stated"], [.. venue.Fixtures.GroupBy(f => f.Phase).OrderBy(g => g.Key).Select(g => (IReadOnlyList<string>)[
            g.Key == 0 ? "not stated" : "L" + Int(g.Key), Int(g.Count()), F(g.Sum(f => f.Profile.PowerWatts ?? 0) / 1000, "0.00", "0")])]);
        var unknown = venue.Fixtures.Where(f => f.Profile.PowerWatts is null).Select(f => f.Profile.Name).Distinct().ToList();
        pages.Paragraph((unknown.Count > 0 ? $"Without a figure: {string.Join(", ", unknown)}. " : "")
            + "Figures are the profiles' power at full, added up. They are no load calculation: a licensed electrician decides under local codes.");
    }

    private static void FrontLight(ReportPages pages, FrontLightSection? asked)
    {
        if (asked is null)
        {
            return;
        }

        pages.Heading("Front light asked for");
        pages.Paragraph(asked.Wanted);
        if (asked.Used.Rows.Count > 0)
        {
            pages.Table(asked.Used.Columns, asked.Used.Rows);
            pages.Paragraph("Places: metres to the audience's right of the centre line, upstage, and up. Turn: of the axis in plan from straight upstage, "
                + "degrees, positive to the audience's right. Down: under the level, degrees. Light into eyes can hurt: "
                + "where beams may look is decided on site.");
        }

        if (asked.Unheld.Rows.Count > 0)
        {
            pages.Paragraph("Not held with these:");
            pages.Table(asked.Unheld.Columns, asked.Unheld.Rows);
        }

        if (asked.ToHang.Rows.Count > 0)
        {
            pages.Paragraph("To be hung beside these, or something that does the same:");
            pages.Table(asked.ToHang.Columns, asked.ToHang.Rows);
            pages.Paragraph("Up and beside: degrees over the level and in plan off the way to the audience, as seen from the faces. What may hang there is "
                + "decided by a qualified rigger.");
        }
    }

    private static void Notices(ReportPages pages, RigScene venue)
    {
        pages.Heading("Notices");
        var lasers = venue.Fixtures.Where(f => f.Mode.Geometry.Any(g => g.Laser is not null)).ToList();
        if (lasers.Count > 0)
        {
            pages.Paragraph($"Lasers: {string.Join(", ", lasers.GroupBy(f => f.Profile.Name).Select(g => $"{g.Count()} × {g.Key} ({Watts(g.First())})"))}. "
                + "They are not used before the laser safety officer and the authority have agreed; \"stageview lasers --dossier\" writes what they ask for.");
        }

        var strobes = venue.Fixtures.Count(f => f.Mode.Channels.Any(c => c.Functions.Any(x => x.Attribute.Contains("Strobe", StringComparison.Ordinal))));
        if (strobes > 0)
        {
            pages.Paragraph($"Strobes: {strobes} fixtures can flash. \"stageview flashes\" counts what the show makes of that, and writes the words for a "
                + "notice at the doors.");
        }

        pages.Paragraph($"Haze: the show is drawn at {F(venue.Haze.ExtinctionPerMetre, "0.###", "0")} per metre. Smoke detection is the house's to "
            + "isolate, under its own rules.");
    }

    private static string Watts(Fixture laser)
    {
        var apertures = laser.Mode.Geometry.Select(g => g.Laser).OfType<LaserData>().ToList();
        return string.Create(CultureInfo.InvariantCulture,
            $"{apertures.Sum(l => l.PowerWatts):0.0##} W of light each, over {Counted.Of(apertures.Count, "aperture")}");
    }

    private static void Differences(ReportPages pages, string title, RigScene before, RigScene after)
    {
        pages.Heading(title);
        var changes = RigChanges.Between(before, after);
        if (changes.Count == 0)
        {
            pages.Paragraph("Nothing that hangs or stands.");
        }

        foreach (var change in changes)
        {
            pages.Paragraph("- " + change);
        }
    }

    private static string Int(int v) => v.ToString(CultureInfo.InvariantCulture);

    private static string F(float? v, string format, string none) => v is null or 0 ? none : v.Value.ToString(format, CultureInfo.InvariantCulture);
}
