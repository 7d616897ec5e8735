using System.Globalization;
using StageView.Ground.Words;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Paperwork.Patch;

/// <summary>Reads the truth out of a patch: gaps, nodes, splits, capacity, numbers, what modes would save.</summary>
public static class PatchInspector
{
    public static PatchReport Inspect(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var universes = Universes(rig);
        var findings = new List<PatchFinding>();
        FindGaps(universes, findings);
        FindNodes(rig, universes, findings);
        FindNumbers(rig, findings);
        var attributes = rig.Fixtures.Where(f => f.Patch.Count > 0 && f.SharesPatchOf.IsNone).Sum(f => AttributeCount(f.Mode));
        FindCapacity(rig, universes.Count, attributes, findings);
        foreach (var f in rig.Fixtures.Where(f => f.Patch.Count == 0 && f.Mode.Footprints.Sum() > 0))
        {
            findings.Add(new PatchFinding("unpatched", f.Name, $"needs {f.Mode.Footprints.Sum()} addresses and has none"));
        }

        return new PatchReport
        {
            Universes = universes,
            Findings = findings,
            Attributes = attributes,
            ConsoleAttributes = rig.Network.ConsoleAttributes,
            Savings = Savings(rig),
        };
    }

    /// <summary>Attributes of a mode: one a channel, and one a colour of each pixel that no channel drives.</summary>
    public static int AttributeCount(FixtureMode mode)
    {
        ArgumentNullException.ThrowIfNull(mode);
        var taken = mode.Channels.SelectMany(c => c.Offsets.Select(o => (c.Break, o))).ToHashSet();
        var pixels = 0;
        foreach (var b in mode.PixelBlocks)
        {
            var grid = mode.Geometry[b.Geometry].Pixels;
            var count = grid is null ? 0 : grid.Columns * grid.Rows * b.Order.Length;
            for (var i = 0; i < count; i++)
            {
                pixels += taken.Contains((b.Break, b.FirstOffset + (i * b.BytesPerComponent))) ? 0 : 1;
            }
        }

        return mode.Channels.Count + pixels;
    }

    private static List<PatchUniverse> Universes(RigScene rig)
    {
        var stretches = new SortedDictionary<int, List<(PatchStretch Stretch, Fixture Fixture)>>();
        foreach (var f in rig.Fixtures.Where(f => f.SharesPatchOf.IsNone))
        {
            foreach (var p in f.Patch)
            {
                foreach (var (from, count) in PatchFootprint.Occupied(f.Mode, p.Break, p.Start.Absolute))
                {
                    for (var a = from; a < from + count;)
                    {
                        var universe = a / 512;
                        var end = Math.Min(from + count, (universe + 1) * 512);
                        if (!stretches.TryGetValue(universe + 1, out var list))
                        {
                            stretches[universe + 1] = list = [];
                        }

                        list.Add((new PatchStretch((a % 512) + 1, ((end - 1) % 512) + 1, f.Name, f.Number, f.Profile.Name, f.Mode.Name), f));
                        a = end;
                    }
                }
            }
        }

        var attributes = rig.Fixtures.Where(f => f.Patch.Count > 0 && f.SharesPatchOf.IsNone).GroupBy(f => (int)f.Patch[0].Start.Universe.Value)
            .ToDictionary(g => g.Key, g => g.Sum(f => AttributeCount(f.Mode)));
        return [.. stretches.Select(u =>
        {
            var sorted = u.Value.OrderBy(s => s.Stretch.From).ToList();
            return new PatchUniverse(
                u.Key,
                sorted.Sum(s => s.Stretch.To - s.Stretch.From + 1),
                attributes.GetValueOrDefault(u.Key),
                [.. sorted.Select(s => s.Fixture.Position).Where(p => p.Length > 0).Distinct().Order(StringComparer.Ordinal)],
                [.. rig.Network.Nodes.Where(n => n.Universes.Contains(u.Key)).Select(n => n.Name)],
                [.. sorted.Select(s => s.Stretch)],
                FreeRuns(sorted.Select(s => s.Stretch)));
        })];
    }

    private static List<FreeRun> FreeRuns(IEnumerable<PatchStretch> stretches)
    {
        var free = new List<FreeRun>();
        var next = 1;
        foreach (var s in stretches)
        {
            if (s.From > next)
            {
                free.Add(new FreeRun(next, s.From - 1));
            }

            next = Math.Max(next, s.To + 1);
        }

        if (next <= 512)
        {
            free.Add(new FreeRun(next, 512));
        }

        return free;
    }

    private static void FindGaps(List<PatchUniverse> universes, List<PatchFinding> findings)
    {
        foreach (var u in universes)
        {
            foreach (var gap in u.Free.Where(f => f.To < 512))
            {
                findings.Add(new PatchFinding(
                    "gap",
                    string.Create(CultureInfo.InvariantCulture, $"{u.Universe}.{gap.From}"),
                    $"{Counted.Of(gap.Count, "free address", "free addresses")} before {u.Universe}.{gap.To + 1}"));
            }
        }
    }

    private static void FindNodes(RigScene rig, List<PatchUniverse> universes, List<PatchFinding> findings)
    {
        if (rig.Network.Nodes.Count == 0)
        {
            return;
        }

        foreach (var u in universes)
        {
            var name = u.Universe.ToString(CultureInfo.InvariantCulture);
            if (u.FedBy.Count == 0)
            {
                findings.Add(new PatchFinding("unfed", name, "no node in the file can feed this universe: add it to a node or patch elsewhere"));
                continue;
            }

            var nodes = rig.Network.Nodes.Where(n => n.Universes.Contains(u.Universe)).ToList();
            if (nodes.Any(n => n.Positions.Count == 0))
            {
                continue;
            }

            foreach (var p in u.Positions.Where(p => !nodes.Any(n => n.Positions.Contains(p))))
            {
                findings.Add(new PatchFinding("split", name,
                    $"is used on \"{p}\", but {string.Join(" and ", nodes.Select(n => n.Name))} feeds "
                    + $"{string.Join(", ", nodes.SelectMany(n => n.Positions).Distinct())}: a cable has to cross"));
            }
        }

        foreach (var n in rig.Network.Nodes)
        {
            var idle = n.Universes.Where(u => !universes.Exists(x => x.Universe == u)).ToList();
            if (idle.Count > 0)
            {
                findings.Add(new PatchFinding("free", n.Name,
                    $"feeds universe{(idle.Count == 1 ? "" : "s")} {string.Join(", ", idle)}, where nothing is patched"));
            }
        }
    }

    private static void FindNumbers(RigScene rig, List<PatchFinding> findings)
    {
        foreach (var g in rig.Fixtures.Where(f => f.Number.Length > 0).GroupBy(f => f.Number).Where(g => g.Count() > 1))
        {
            findings.Add(new PatchFinding("number", g.Key, $"is the number of {string.Join(", ", g.Select(f => f.Name))}"));
        }
    }

    private static void FindCapacity(RigScene rig, int universes, int attributes, List<PatchFinding> findings)
    {
        if (rig.Network.ConsoleAttributes is { } most && attributes > most)
        {
            findings.Add(new PatchFinding("capacity", "console", $"{attributes} attributes are patched, the console is said to run {most}"));
        }

        if (rig.Network.ConsoleUniverses is { } sent && universes > sent)
        {
            findings.Add(new PatchFinding("capacity", "console", $"{universes} universes are used, the console is said to send {sent}"));
        }
    }

    private static List<ModeSaving> Savings(RigScene rig)
    {
        var savings = new List<ModeSaving>();
        foreach (var type in rig.Fixtures.Where(f => f.SharesPatchOf.IsNone).GroupBy(f => (f.Profile, f.Mode)))
        {
            var have = Attributes(type.Key.Mode);
            foreach (var other in type.Key.Profile.Modes.Where(m => m.Name != type.Key.Mode.Name))
            {
                var saved = (type.Key.Mode.Footprints.Sum() - other.Footprints.Sum()) * type.Count();
                savings.Add(new ModeSaving(
                    type.Key.Profile.Name, type.Key.Mode.Name, other.Name, type.Count(), saved,
                    [.. have.Except(Attributes(other)).Order(StringComparer.Ordinal)]));
            }
        }

        return savings;
    }

    private static HashSet<string> Attributes(FixtureMode mode) =>
        [.. mode.Channels.SelectMany(c => c.Functions).Select(f => f.Attribute)];
}
