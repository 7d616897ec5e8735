using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Wire.Universes;

namespace StageView.Rig.Scene;

/// <summary>Gives addresses: single, by hang, by run; then looks for overlaps and equal names.</summary>
internal static class Patcher
{
    public static void Apply(SceneBuild build)
    {
        foreach (var hang in build.Hung.GroupBy(h => h.Hang))
        {
            PatchHang(hang.Key, [.. hang], build.Problems);
        }

        foreach (var run in build.PatchRuns)
        {
            PatchRun(run, build, null);
        }

        VenueAddresses.RemoveCarried(build);
        foreach (var run in build.VenueRuns)
        {
            PatchRun(run, build, build.Venue);
        }

        CheckNames(build);
        Share(build);
        CheckOverlaps(build);
        VenueAddresses.TellFreed(build);
    }

    private static void PatchHang(SourceNode hang, List<HungFixture> members, ProblemList problems)
    {
        foreach (var m in members.Where(m => m.Override?.Has("patch") == true))
        {
            Place(m, Starts(m.Override!.Get("patch")!), m.Override!.Get("patch")!, problems);
        }

        if (hang.Get("patch") is not { } patch)
        {
            return;
        }

        var rest = members.Where(m => m.Override?.Has("patch") != true).ToList();
        if (patch.Get("order") is { Kind: SourceKind.List } order)
        {
            var wanted = order.Items.Select(i => (int)i.Number).ToList();
            var there = members.Select(m => m.Member).ToHashSet();
            var places = new Dictionary<int, int>();
            for (var i = 0; i < wanted.Count; i++)
            {
                places.TryAdd(wanted[i], i);
            }

            foreach (var missing in wanted.Where(w => !there.Contains(w)))
            {
                problems.Error(order, $"there is no member {missing}: \"{hang.TextOr("name")}\" has {members.Count}");
            }

            rest = [.. rest.OrderBy(m => places.GetValueOrDefault(m.Member, int.MaxValue))];
        }

        Run(rest, patch, problems);
    }

    /// <param name="run">The run as written.</param>
    /// <param name="build">The rig.</param>
    /// <param name="venue">The venue whose run it is; null for the tour's, which are the same in every venue.</param>
    private static void PatchRun(SourceNode run, SceneBuild build, VenueOverlay? venue)
    {
        var meant = build.Hung.Where(h => venue is null ? !h.Added : !h.Removed).ToList();
        var inOrder = new List<HungFixture>();
        var taken = new HashSet<HungFixture>();
        foreach (var name in run.Get("fixtures")?.Items.Where(i => i.Kind == SourceKind.Text) ?? [])
        {
            if (!build.Bounds.Compare(name, build.Hung.Count))
            {
                return;
            }

            var match = new NameMatch(name.Text);
            var found = meant.Where(h => match.Is(h.Name) || match.Is(h.HangName) || h.Groups.Any(match.Is)).Where(taken.Add).ToList();
            if (found.Count == 0)
            {
                var known = meant.SelectMany(h => h.Groups.Append(h.Name).Append(h.HangName)).Distinct();
                build.Problems.Error(name, $"no hang, fixture or group is named \"{name.Text}\"{Nearest.Hint(name.Text, known)}");
            }

            inOrder.AddRange(found);
        }

        var before = venue is null ? [] : VenueAddresses.TakeBack(inOrder);
        foreach (var twice in inOrder.Where(h => h.Patch.Count > 0))
        {
            build.Problems.Error(run,
                $"\"{twice.Name}\" already has the address {twice.Patch[0].Start} from line {twice.PatchedBy?.Line}: patch it in one place");
        }

        Run([.. inOrder.Where(h => h.Patch.Count == 0)], run, build.Problems);
        if (venue is not null)
        {
            VenueAddresses.TellAnew(before, venue);
        }
    }

    /// <summary>One after another from the start of each break; a fixture that doesn't fit into the rest of a universe goes on in the next.</summary>
    private static void Run(List<HungFixture> fixtures, SourceNode patch, ProblemList problems)
    {
        var starts = Starts(patch.Kind == SourceKind.Object ? patch.Get("start") : patch);
        var step = patch.Kind == SourceKind.Object ? patch.IntegerOr("step", 0) : 0;
        var perUniverse = patch.Kind == SourceKind.Object ? patch.IntegerOr("perUniverse", 0) : 0;
        if (starts.Count == 0)
        {
            return;
        }

        // A break without an address stays at -1.
        var next = starts.Select(s => s?.Absolute ?? -1).ToArray();
        var inUniverse = 0;
        foreach (var f in fixtures)
        {
            if (perUniverse > 0 && inUniverse == perUniverse)
            {
                inUniverse = 0;
                for (var b = 0; b < next.Length; b++)
                {
                    next[b] = next[b] < 0 ? -1 : ((next[b] - 1) / 512 * 512) + 512 + starts[b]!.Value.Address - 1;
                }
            }

            for (var b = 0; b < next.Length && b < f.Mode.Footprints.Count; b++)
            {
                var size = f.Mode.Footprints[b];
                if (next[b] >= 0 && f != fixtures[0] && !PatchFootprint.MayCross(f.Mode, b + 1) && (next[b] % 512) + size > 512)
                {
                    next[b] = ((next[b] / 512) + 1) * 512;
                    inUniverse = 0;
                }

                if (next[b] / 512 >= UniverseNumber.Highest)
                {
                    problems.Error(patch, $"the run leaves the last universe, {UniverseNumber.Highest}, at \"{f.Name}\"");
                    return;
                }
            }

            inUniverse++;
            Place(f, [.. next.Select(n => n < 0 ? default(UniverseAddress?) : UniverseAddress.FromAbsolute(n))], patch, problems);
            for (var b = 0; b < next.Length && b < f.Mode.Footprints.Count; b++)
            {
                next[b] = next[b] < 0 ? -1 : step > 0 ? next[b] + step : PatchFootprint.End(f.Mode, b + 1, next[b]);
            }
        }
    }

    private static void Place(HungFixture f, List<UniverseAddress?> starts, SourceNode at, ProblemList problems)
    {
        f.PatchedBy = at;
        var breaks = f.Mode.Footprints.Count;
        if (starts.Count == 0 || f.LeftOut)
        {
            return;
        }

        if (starts.Count != breaks && !(starts.Count < breaks && f.Mode.Footprints.Skip(starts.Count).All(n => n == 0)))
        {
            problems.Error(at,
                $"\"{f.Name}\" has {breaks} DMX break{(breaks == 1 ? "" : "s")} (mode \"{f.Mode.Name}\") but {starts.Count} "
                + $"address{(starts.Count == 1 ? " is" : "es are")} given");
        }

        for (var b = 0; b < Math.Min(starts.Count, breaks); b++)
        {
            if (starts[b] is not { } start)
            {
                continue;
            }

            var size = f.Mode.Footprints[b];
            if (size > 0 && !PatchFootprint.MayCross(f.Mode, b + 1) && start.Address + size - 1 > 512)
            {
                problems.Error(at,
                    $"\"{f.Name}\" at {start} needs {size} addresses and would cross the end of universe {start.Universe}: the last start that fits is "
                    + $"{start.Universe}.{512 - size + 1}");
            }

            if (size > 0 && PatchFootprint.End(f.Mode, b + 1, start.Absolute) > UniverseNumber.Highest * UniverseAddress.AddressesPerUniverse)
            {
                problems.Error(at, $"\"{f.Name}\" at {start} leaves the last universe, {UniverseNumber.Highest}");
                continue;
            }

            f.Patch.Add(new PatchStart(b + 1, start));
        }
    }

    /// <summary>One a break; null where it is written "none".</summary>
    private static List<UniverseAddress?> Starts(SourceNode? node) => node switch
    {
        { Kind: SourceKind.Text } t when UniverseAddress.TryParse(t.Text, out var a) => [a],
        { Kind: SourceKind.List } l => [.. l.Items.Select(i => UniverseAddress.TryParse(i.Text, out var a) ? a : default(UniverseAddress?))],
        { Kind: SourceKind.Object } o => Starts(o.Get("start")),
        _ => [],
    };

    private static void CheckNames(SceneBuild build)
    {
        var names = new Dictionary<string, HungFixture>(StringComparer.Ordinal);
        var numbers = new Dictionary<string, HungFixture>(StringComparer.Ordinal);
        foreach (var f in build.Hung.Where(h => h.IsThere))
        {
            if (!names.TryAdd(f.Name, f))
            {
                build.Problems.Error(f.Hang, $"\"{f.Name}\" is also the name of the fixture of line {names[f.Name].Hang.Line}: names are unique in a rig");
            }

            if (f.Number.Length > 0 && !numbers.TryAdd(f.Number, f))
            {
                build.Problems.Warn(f.Hang,
                    $"number {f.Number} (\"{f.Name}\") is also the number of \"{numbers[f.Number].Name}\" of line {numbers[f.Number].Hang.Line}");
            }
        }
    }

    /// <summary>Fixtures that share another's patch get its addresses.</summary>
    private static void Share(SceneBuild build)
    {
        var byName = new Dictionary<string, HungFixture>(StringComparer.Ordinal);
        foreach (var f in build.Hung.Where(h => h.IsThere))
        {
            byName.TryAdd(f.Name, f);
        }

        // Where the venue leaves out the one that is patched, the first of the others has its addresses.
        var gone = build.Hung.Where(h => h.Removed && !h.LeftOut && !byName.ContainsKey(h.Name)).DistinctBy(h => h.Name).ToDictionary(h => h.Name);
        var heirs = new HashSet<HungFixture>();

        foreach (var f in build.Hung.Where(h => h.IsThere))
        {
            if (f.Hang.Get("sharesPatchOf") is not { Kind: SourceKind.Text } named)
            {
                continue;
            }

            if (gone.TryGetValue(named.Text, out var left) && !byName.ContainsKey(named.Text) && left.Mode.Name == f.Mode.Name && f.Patch.Count == 0)
            {
                f.Patch.AddRange(left.Patch);
                f.PatchedBy = left.PatchedBy;
                byName[named.Text] = f;
                heirs.Add(f);
            }
            else if (!byName.TryGetValue(named.Text, out var of) || of == f)
            {
                build.Problems.Error(named, of == f
                    ? $"\"{f.Name}\" can't share its own patch" : $"no fixture named \"{named.Text}\"{Nearest.Hint(named.Text, byName.Keys)}");
            }
            else if (of.Hang.Has("sharesPatchOf") && !heirs.Contains(of))
            {
                build.Problems.Error(named, $"\"{of.Name}\" shares a patch itself: name the one that is patched, \"{of.Hang.TextOr("sharesPatchOf")}\"");
            }
            else if (of.Profile != f.Profile || of.Mode.Name != f.Mode.Name)
            {
                build.Problems.Error(named,
                    $"\"{f.Name}\" ({f.Profile.Name}, {f.Mode.Name}) can't share the patch of \"{of.Name}\" ({of.Profile.Name}, {of.Mode.Name}): only "
                    + $"fixtures of one mode follow the same levels");
            }
            else if (f.Patch.Count > 0)
            {
                build.Problems.Error(named, $"\"{f.Name}\" has an address of its own from line {f.PatchedBy?.Line}: keep that or \"sharesPatchOf\"");
            }
            else
            {
                f.PatchOf = of;
                f.Patch.AddRange(of.Patch);
            }
        }
    }

    private static void CheckOverlaps(SceneBuild build)
    {
        var map = new AddressMap();
        var reported = new HashSet<(HungFixture, HungFixture)>();
        foreach (var f in build.Hung.Where(h => h.IsThere && h.PatchOf is null))
        {
            foreach (var p in f.Patch)
            {
                foreach (var clash in map.Take(f, PatchFootprint.Occupied(f.Mode, p.Break, p.Start.Absolute)))
                {
                    if (reported.Add((clash.Other, f)))
                    {
                        build.Problems.Error(
                            f.PatchedBy ?? f.Hang,
                            string.Create(CultureInfo.InvariantCulture,
                                $"\"{f.Name}\" at {p.Start} ({f.Mode.Footprints[p.Break - 1]} addresses) overlaps \"{clash.Other.Name}\" (line "
                                + $"{(clash.Other.PatchedBy ?? clash.Other.Hang).Line}) at {UniverseAddress.FromAbsolute(clash.Address)}"));
                    }
                }
            }
        }
    }
}
