using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Checks;

/// <summary>Looks a rig over: the problems of its files, and what it amounts to.</summary>
public static class RigChecker
{
    /// <param name="path">The scene file.</param>
    /// <param name="options">Where profiles lie.</param>
    /// <param name="summary">Null when the rig has errors.</param>
    public static IReadOnlyList<RigProblem> Check(string path, RigLoadOptions options, out RigSummary? summary)
    {
        var ok = RigLoader.TryLoad(path, options, out var rig, out var problems);
        summary = ok ? Summarize(rig!) : null;
        return problems;
    }

    public static RigSummary Summarize(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var used = new SortedDictionary<int, bool[]>();
        foreach (var f in rig.Fixtures)
        {
            foreach (var p in f.Patch)
            {
                foreach (var (from, count) in PatchFootprint.Occupied(f.Mode, p.Break, p.Start.Absolute))
                {
                    for (var a = from; a < from + count; a++)
                    {
                        if (!used.TryGetValue((a / 512) + 1, out var universe))
                        {
                            used[(a / 512) + 1] = universe = new bool[512];
                        }

                        universe[a % 512] = true;
                    }
                }
            }
        }

        var nodes = rig.Fixtures.SelectMany(f => f.Mode.Geometry).ToList();
        return new RigSummary
        {
            Name = rig.Name,
            Fixtures = rig.Fixtures.Count,
            Types = [.. rig.Fixtures.GroupBy(f => (f.Profile, f.Mode))
                .Select(g => new TypeCount(g.Key.Profile.Name, g.Key.Mode.Name, g.Count(), g.Key.Mode.Footprints.Sum()))
                .OrderByDescending(t => t.Count).ThenBy(t => t.Profile, StringComparer.Ordinal)],
            Universes = [.. used.Select(u => new UniverseUse(u.Key, u.Value.Count(x => x), 1 + (Array.IndexOf(u.Value, false) is var i && i < 0 ? 512 : i)))],
            AddressesUsed = used.Values.Sum(u => u.Count(x => x)),
            Pixels = nodes.Sum(n => n.Pixels is { } p ? p.Columns * p.Rows : 0),
            Beams = nodes.Count(n => n.Beam is not null),
            Lasers = nodes.Count(n => n.Laser is not null),
            Mirrors = rig.Mirrors.Count + nodes.Count(n => n.Mirror is not null),
            SceneryPieces = rig.Scenery.Count,
            Cameras = rig.Cameras.Count,
            VenueChanges = rig.VenueChanges,
            PassedOver = [.. rig.Fixtures.Select(f => f.Profile).DistinctBy(p => p.File).Where(p => p.NotUnderstood.Count > 0)
                .Select(p => new PassedOver(p.Name, p.File, p.NotUnderstood))],
            Measured = [.. rig.Fixtures.Select(f => f.Profile).DistinctBy(p => p.File).Where(p => p.Photometry.Count > 0)
                .Select(p => new MeasuredProfile(p.Name, p.File, p.Photometry))],
            NotTakenOver = rig.NotTakenOver,
            Unpatched = [.. rig.Fixtures.Where(f => f.Patch.Count == 0 && f.Mode.Footprints.Sum() > 0).Select(f => f.Name)],
        };
    }
}
