using System.Globalization;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Wire.Universes;

namespace StageView.Rig.Scene;

/// <summary>Addresses under a venue: the tour's stay the console's, and what was freed or given anew is told.</summary>
internal static class VenueAddresses
{
    /// <summary>Takes back the addresses of the tour's fixtures that the venue's file gives anew.</summary>
    public static Dictionary<HungFixture, UniverseAddress> TakeBack(IEnumerable<HungFixture> fixtures)
    {
        var before = new Dictionary<HungFixture, UniverseAddress>();
        foreach (var f in fixtures.Where(f => f is { Added: false, Patch.Count: > 0 }))
        {
            before[f] = f.Patch[0].Start;
            f.Patch.Clear();
        }

        return before;
    }

    public static void TellAnew(Dictionary<HungFixture, UniverseAddress> before, VenueOverlay venue)
    {
        foreach (var (f, was) in before.Where(b => b.Key.Patch.Count > 0 && b.Key.Patch[0].Start != b.Value))
        {
            venue.Changed($"\"{f.Name}\" addressed at {f.Patch[0].Start} instead of {was}");
        }
    }

    /// <summary>What is carried by something that the venue removes goes with it, however many one on another.</summary>
    public static void RemoveCarried(SceneBuild build)
    {
        var there = build.Hung.Where(h => h.IsThere).Select(h => h.Name).ToHashSet(StringComparer.Ordinal);
        var gone = new Queue<HungFixture>(build.Hung.Where(h => h.Removed));
        var carried = build.Hung.Where(h => h is { IsThere: true, CarriedBy: not null }).ToLookup(h => h.CarriedBy!.TextOr("fixture"));
        var pieces = build.CarriedPieces.ToLookup(c => c.Carried.TextOr("fixture"));
        var dropped = new HashSet<int>();
        while (gone.TryDequeue(out var carrier))
        {
            if (there.Contains(carrier.Name))
            {
                continue;
            }

            foreach (var f in carried[carrier.Name].Where(f => !f.Removed))
            {
                f.Removed = true;
                there.Remove(f.Name);
                carrier.Venue.Went(() => f.Name);
                gone.Enqueue(f);
            }

            foreach (var (piece, _) in pieces[carrier.Name].Where(p => dropped.Add(p.Piece)))
            {
                var name = build.Scenery[piece].Name;
                carrier.Venue.Went(() => name);
            }
        }

        if (dropped.Count > 0)
        {
            var kept = Enumerable.Range(0, build.Scenery.Count).Where(i => !dropped.Contains(i)).ToList();
            var now = kept.Select((old, i) => (old, i)).ToDictionary(k => k.old, k => k.i);
            var scenery = kept.ConvertAll(i => build.Scenery[i]);
            var still = build.CarriedPieces.Where(c => !dropped.Contains(c.Piece)).Select(c => (now[c.Piece], c.Carried)).ToList();
            build.Scenery.Clear();
            build.Scenery.AddRange(scenery);
            build.CarriedPieces.Clear();
            build.CarriedPieces.AddRange(still);
        }
    }

    /// <summary>Addresses of fixtures that the venue leaves out, unless others have them, a line for each universe.</summary>
    public static void TellFreed(SceneBuild build)
    {
        if (build.Venue is not { } venue || build.Hung.All(h => !h.Removed))
        {
            return;
        }

        var used = build.Hung.Where(h => h.IsThere).SelectMany(Addresses).ToHashSet();
        var freed = build.Hung.Where(h => h.Removed && !h.LeftOut).SelectMany(h => Addresses(h).Select(a => (Address: a, h.Name)))
            .Where(a => !used.Contains(a.Address)).ToLookup(a => a.Address / 512);
        foreach (var universe in freed.OrderBy(u => u.Key))
        {
            var at = universe.Select(a => (a.Address % 512) + 1).Distinct().Order().ToList();
            var runs = new List<string>();
            for (int i = 0, next; i < at.Count; i = next)
            {
                next = i + 1;
                while (next < at.Count && at[next] == at[next - 1] + 1)
                {
                    next++;
                }

                runs.Add(string.Create(CultureInfo.InvariantCulture, $"{at[i]}{(next > i + 1 ? $" to {at[next - 1]}" : "")}"));
            }

            var names = NameRuns.Of([.. universe.Select(a => a.Name).Distinct()]);
            venue.Changed(string.Create(CultureInfo.InvariantCulture, $"addresses freed in universe {universe.Key + 1}: {string.Join(", ", runs)} ({names})"));
        }
    }

    private static IEnumerable<int> Addresses(HungFixture f) => f.Patch.Where(p => p.Break <= f.Mode.Footprints.Count)
        .SelectMany(p => PatchFootprint.Occupied(f.Mode, p.Break, p.Start.Absolute)).SelectMany(s => Enumerable.Range(s.From, s.Count));
}
