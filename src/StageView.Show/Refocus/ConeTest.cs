using System.Globalization;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Stage.Heads;

namespace StageView.Show.Refocus;

/// <summary>What becomes of a position's cone in the new venue, beside the old one.</summary>
internal static class ConeTest
{
    private const string Caution = "light into eyes can hurt; what may be pointed where is decided on site";

    /// <summary>The piece that an anchor is on, or empty.</summary>
    public static string Own(Anchor anchor) => anchor.Kind is AnchorKind.Piece or AnchorKind.Person ? anchor.Name : "";

    /// <summary>Parts of the cone that don't simply reach the anchor, the largest first.</summary>
    /// <param name="problem">What is asked.</param>
    /// <param name="old">The fixture in the old venue.</param>
    /// <param name="fixture">The fixture in the new venue.</param>
    /// <param name="way">Its new values.</param>
    /// <param name="row">The zooms it is used with.</param>
    public static IReadOnlyList<ConeRow> Of(PositionProblem problem, Fixture old, Fixture fixture, Candidate way, RefocusRow row)
    {
        if (problem.Zoom is not { } zoom)
        {
            return [];
        }

        var (own, isFree) = (Own(problem.Anchor), problem.Anchor.Kind == AnchorKind.Direction);
        var was = Math.Max(zoom, Angles.Radians(row.Optics.Select(o => o.Zoom ?? 0).DefaultIfEmpty(0).Max()));
        var widest = Math.Max(was, Angles.Radians(row.Optics.Select(o => o.ZoomThatHolds ?? 0).Append(row.ZoomThatHolds ?? 0).Max()));
        var lens = PanTilt.Beam(fixture, way.Pan, way.Tilt, problem.Root)!.Value.Position;
        var now = problem.Solver.Shares(fixture, new Cone(lens, way.Aimed, way.Mirrors, widest / 2, problem.Apex), own, isFree);
        if (now.Count == 0 || problem.Before is not { } before)
        {
            return [];
        }

        var (from, along) = PanTilt.Beam(old, problem.Position.Pan, problem.Position.Tilt, problem.OldRoot)!.Value;
        var aimed = from + (along * (problem.OldWay > 0 ? problem.OldWay : (way.Aimed - lens).Length()));
        var then = before.Value.Shares(old, new Cone(from, aimed, before.Value.MirrorsOf(problem.Anchor.Via), was / 2, problem.Apex), own, isFree);
        return
        [
            .. now.OrderByDescending(p => p.Value).ThenBy(p => p.Key.What, StringComparer.Ordinal)
                .Select(p => new ConeRow(p.Key.What, p.Key.Effect, p.Value, then.GetValueOrDefault(p.Key))),
        ];
    }

    /// <summary>What is to be said of a position with its cone.</summary>
    /// <param name="row">The position.</param>
    /// <param name="axis">What is to be said of its axis; may be empty.</param>
    /// <param name="onlyMore">Only what is more than before: for a position at which nothing else changed.</param>
    public static string Said(RefocusRow row, string axis = "", bool onlyMore = false)
    {
        var parts = row.Cone.Where(c => c.IsMore || (!onlyMore && c.Effect is (ConeEffect.Audience or ConeEffect.Crew))).ToList();
        var said = parts.ConvertAll(Said);
        if (axis.Length > 0 && (!onlyMore || parts.Count > 0))
        {
            said.Insert(0, axis);
        }

        if (parts.Exists(p => p.Effect == ConeEffect.Audience))
        {
            said.Add(Caution);
        }

        return string.Join("; ", said.Prepend(row.Detail).Where(t => t.Length > 0));
    }

    private static string Said(ConeRow part)
    {
        var much = string.Create(CultureInfo.InvariantCulture, $"{100 * part.Share:0} %");
        var before = part.Before > 0 ? string.Create(CultureInfo.InvariantCulture, $" ({100 * part.Before:0} % before)") : "";
        return part.Effect switch
        {
            ConeEffect.Shaded => $"{part.What} takes {much} of its cone{before}",
            ConeEffect.PastMirror => $"{much} of its cone misses {part.What}{before}",
            ConeEffect.Crew => $"{much} of its cone enters {part.What}, where crew works{before}",
            _ => $"{much} of its cone enters {part.What}{before}",
        };
    }
}
