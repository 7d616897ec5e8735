using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>Finds what stands out in a snapshot. Pure: the same snapshot and patch give the same findings.</summary>
public static class FindingRules
{
    /// <summary>Time to be heard before a patched universe counts as silent: three keep-alives (E1.31 §6.6.2) and the time-out of loss.</summary>
    public const double SilentAfterSeconds = 3;

    /// <summary>Common practice, no source: a universe whose sender moves others but not this one for so long is worth a look.</summary>
    public const double StillAfterSeconds = 30;

    /// <param name="health">What was heard.</param>
    /// <param name="patch">What the rig uses; with an empty one nothing is said of patched or unpatched.</param>
    /// <param name="within">Seconds before the newest look in which what is counted was lost or refused; null for the whole time.</param>
    public static IReadOnlyList<Finding> All(WireHealth health, PatchedUniverses patch, double? within = null)
    {
        ArgumentNullException.ThrowIfNull(health);
        ArgumentNullException.ThrowIfNull(patch);
        var found = new List<Finding>();
        Silent(found, health, patch);
        foreach (var universe in health.Universes)
        {
            Patched(found, universe, patch);
            Sources(found, universe, patch, within);
            Carried(found, universe, patch, within);
            PaceRules.Find(found, universe, IsUsed(universe, patch));
            SenderRules.Find(found, universe, health.Senders, IsUsed(universe, patch));
        }

        Backups(found, health, patch);
        Still(found, health);
        Machine(found, health, within);
        return [.. found.OrderByDescending(f => f.Stands).ThenBy(f => f.Universe ?? 0).ThenBy(f => f.Kind)];
    }

    private static void Silent(List<Finding> found, WireHealth health, PatchedUniverses patch)
    {
        if (health.At < SilentAfterSeconds)
        {
            return;
        }

        var heard = health.Universes.Where(u => u.Sources.Count > 0).Select(u => u.Universe).ToHashSet();
        found.AddRange(patch.Highest.Keys.Where(u => !heard.Contains(u)).Order().Select(u =>
            new Finding { Kind = FindingKind.PatchedButSilent, Stands = true, Universes = [u], Seconds = health.At }));
    }

    private static void Patched(List<Finding> found, UniverseHealth universe, PatchedUniverses patch)
    {
        var live = Live(universe);
        if (patch.Highest.Count > 0 && live.Length > 0 && !patch.Highest.ContainsKey(universe.Universe))
        {
            found.Add(new Finding { Kind = FindingKind.HeardButNotPatched, Stands = false, Universes = [universe.Universe], Sources = [live[0].Label] });
        }

        if (patch.Highest.TryGetValue(universe.Universe, out var highest))
        {
            found.AddRange(live.Where(s => s.Slots > 0 && s.Slots < highest)
                .Select(s => new Finding
                {
                    Kind = FindingKind.UniverseTooShort, Stands = true, Universes = [universe.Universe], Sources = [s.Label], Sends = s.Slots, Needs = highest,
                }));
        }
    }

    private static void Sources(List<Finding> found, UniverseHealth universe, PatchedUniverses patch, double? within)
    {
        var live = Live(universe);
        var used = IsUsed(universe, patch);
        int[] where = [universe.Universe];
        if (universe.Disagreements.Count > 0)
        {
            var top = live.Max(s => s.Priority);
            found.Add(new Finding
            {
                Kind = FindingKind.SourcesDisagree, Stands = used, Universes = where, Priority = top,
                Sources = [.. live.Where(s => s.Priority == top || s.PerAddressPriority).Select(s => s.Label)],
                Addresses = universe.Disagreements,
            });
        }

        foreach (var s in live.Where(s => s.SharedBy.Count > 0))
        {
            found.Add(new Finding
            {
                Kind = FindingKind.SharedCid, Stands = used, Universes = where, Sources = [.. s.SharedBy.Select(a => Named(s, a))], Reason = s.Cid,
            });
        }

        // Who came back from the same host by the same name with another CID has not stopped.
        foreach (var s in universe.Sources.Where(s => s.Standing == SourceStanding.Lost && !universe.Sources.Any(l => IsSuccessor(l, s))))
        {
            found.Add(new Finding
            {
                Kind = FindingKind.SourceStopped, Stands = used, Universes = where, Sources = [s.Label], Seconds = s.SecondsSinceSeen, Held = live.Length == 0,
            });
        }

        foreach (var s in universe.Sources.Where(s => s.Standing == SourceStanding.Ended && live.Length == 0))
        {
            found.Add(new Finding
            {
                Kind = FindingKind.SourceEnded, Stands = used, Universes = where, Sources = [s.Label], Seconds = s.SecondsSinceSeen, Held = true,
            });
        }

        foreach (var s in universe.Sources.Where(s => s.Missing > 0))
        {
            var sent = s.Missing + s.Packets;
            found.Add(new Finding
            {
                Kind = FindingKind.PacketsLost, Stands = 100 * s.Missing >= sent, Universes = where, Sources = [s.Label],
                Count = s.Missing, Of = sent, WithinSeconds = within,
            });
        }

        var refused = universe.Sources.Where(s => s.Standing == SourceStanding.Refused).Select(s => s.Label).ToArray();
        if (live.Length == 0 && refused.Length > 0)
        {
            found.Add(new Finding { Kind = FindingKind.PreviewRefused, Stands = used, Universes = where, Sources = refused });
        }
    }

    private static void Carried(List<Finding> found, UniverseHealth universe, PatchedUniverses patch, double? within)
    {
        var live = Live(universe);
        int[] where = [universe.Universe];
        if (live.Length > 0 && live.All(s => s.Preview))
        {
            found.Add(new Finding { Kind = FindingKind.PreviewOnly, Stands = false, Universes = where });
        }

        if (universe.OtherStartCodes > 0)
        {
            found.Add(new Finding
            {
                Kind = FindingKind.OtherStartCodes, Stands = false, Universes = where,
                Count = universe.OtherStartCodes, WithinSeconds = within, StartCode = universe.LastOtherStartCode,
            });
        }

        if (universe.FrozenBySync)
        {
            found.Add(new Finding { Kind = FindingKind.LevelsFrozen, Stands = IsUsed(universe, patch), Universes = where });
        }

        if (universe.Refused > 0)
        {
            found.Add(new Finding
            {
                Kind = FindingKind.TooManySources, Stands = true, Universes = where, Count = universe.Refused, WithinSeconds = within,
                Beside = universe.Sources.Count,
            });
        }
    }

    // A sender that offers a patched universe in discovery but never sent it; and one that doubles others' universes but for some.
    private static void Backups(List<Finding> found, WireHealth health, PatchedUniverses patch)
    {
        var heard = health.Universes.ToDictionary(u => u.Universe, u => u.Sources.Where(s => s.Cid is not null).Select(s => s.Cid!).ToHashSet());
        foreach (var sender in health.Senders)
        {
            var sent = heard.Where(h => h.Value.Contains(sender.Cid)).Select(h => h.Key).ToHashSet();
            string[] who = [sender.Name.Length == 0 ? sender.Address : $"'{sender.Name}'"];
            found.AddRange((sender.Offers ?? []).Where(u => patch.Highest.ContainsKey(u) && !sent.Contains(u))
                .Select(u => new Finding { Kind = FindingKind.BackupNeverSent, Stands = true, Universes = [u], Sources = who }));
            var doubled = sent.Count(u => heard[u].Count > 1);
            if (doubled < 2 || doubled < sent.Count)
            {
                continue;
            }

            found.AddRange(heard.Where(h => h.Value.Count == 1 && !sent.Contains(h.Key))
                .Where(h => patch.Highest.ContainsKey(h.Key) && !(sender.Offers ?? []).Contains(h.Key))
                .Select(h => new Finding { Kind = FindingKind.BackupLeavesOut, Stands = false, Universes = [h.Key], Sources = who, Beside = doubled }));
        }
    }

    private static void Still(List<Finding> found, WireHealth health)
    {
        var moving = health.Universes
            .SelectMany(u => u.Sources)
            .Where(s => s.Standing == SourceStanding.Live && s.SecondsSinceChange < 5)
            .Select(s => s.Cid ?? s.Address)
            .ToHashSet();
        foreach (var universe in health.Universes)
        {
            found.AddRange(Live(universe).Where(s => s.SecondsSinceChange >= StillAfterSeconds && moving.Contains(s.Cid ?? s.Address))
                .Select(s => new Finding
                {
                    Kind = FindingKind.LevelsStill, Stands = false, Universes = [universe.Universe], Sources = [s.Label], Seconds = s.SecondsSinceChange,
                }));
        }
    }

    private static void Machine(List<Finding> found, WireHealth health, double? within)
    {
        if (health.KernelDrops > 0)
        {
            found.Add(new Finding { Kind = FindingKind.DroppedByThisMachine, Stands = true, Count = health.KernelDrops, WithinSeconds = within });
        }

        found.AddRange(health.SharedPorts.Select(p => new Finding { Kind = FindingKind.SharedPort, Stands = true, Reason = p }));
        if (health.NoRoom - health.Universes.Sum(u => u.Refused) is > 0 and var refused)
        {
            found.Add(new Finding { Kind = FindingKind.TooMany, Stands = true, Count = refused, WithinSeconds = within });
        }

        foreach (var m in health.MalformedFrom.Where(m => m.Count > 0))
        {
            found.Add(new Finding
            {
                Kind = FindingKind.Malformed, Stands = false, Sources = [m.Host], Count = m.Count, WithinSeconds = within, Reason = m.Reason,
            });
        }

        if (health.Malformed - health.MalformedFrom.Sum(m => m.Count) is > 0 and var others)
        {
            found.Add(new Finding { Kind = FindingKind.Malformed, Stands = false, Count = others, WithinSeconds = within, Reason = health.LastMalformed });
        }
    }

    private static bool IsSuccessor(SourceHealth later, SourceHealth lost) =>
        later.Protocol == lost.Protocol && later.Cid != lost.Cid && later.Host == lost.Host && later.Name == lost.Name
        && later.SecondsSinceSeen < lost.SecondsSinceSeen;

    private static string Named(SourceHealth source, string address) => source.Name.Length == 0 ? address : $"'{source.Name}' at {address}";

    private static SourceHealth[] Live(UniverseHealth universe) => [.. universe.Sources.Where(s => s.Standing == SourceStanding.Live)];

    /// <summary>What is found of a universe that no fixture uses is a remark.</summary>
    private static bool IsUsed(UniverseHealth universe, PatchedUniverses patch) => patch.Highest.Count == 0 || patch.Highest.ContainsKey(universe.Universe);
}
