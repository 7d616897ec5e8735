using System.Globalization;
using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>Says in plain words what stands out in a snapshot. Pure: the same snapshot and patch give the same findings.</summary>
public static class FindingRules
{
    /// <summary>Time to be heard before a patched universe counts as silent: three keep-alives (E1.31 §6.6.2) and the time-out of loss.</summary>
    public const double SilentAfterSeconds = 3;

    /// <summary>Common practice, no source: a universe whose sender moves others but not this one for so long is worth a look.</summary>
    public const double StillAfterSeconds = 30;

    /// <param name="health">What was heard.</param>
    /// <param name="patch">What the rig uses; with an empty one nothing is said of patched or unpatched.</param>
    /// <param name="lately">In which time what is counted was lost or refused, for instance <c>in the last minute</c>; empty for the whole time.</param>
    public static IReadOnlyList<Finding> All(WireHealth health, PatchedUniverses patch, string lately = "")
    {
        ArgumentNullException.ThrowIfNull(health);
        ArgumentNullException.ThrowIfNull(patch);
        ArgumentNullException.ThrowIfNull(lately);
        lately = lately.Length > 0 ? " " + lately : "";
        var found = new List<Finding>();
        Silent(found, health, patch);
        foreach (var universe in health.Universes)
        {
            Patched(found, universe, patch);
            Sources(found, universe, patch, lately);
        }

        Backups(found, health, patch);
        Still(found, health);
        Machine(found, health, lately);
        return [.. found.OrderByDescending(f => f.Stands).ThenBy(f => f.Universe ?? 0).ThenBy(f => f.Kind)];
    }

    private static void Silent(List<Finding> found, WireHealth health, PatchedUniverses patch)
    {
        if (health.At < SilentAfterSeconds)
        {
            return;
        }

        var heard = health.Universes.Where(u => u.Sources.Count > 0).Select(u => u.Universe).ToHashSet();
        foreach (var universe in patch.Highest.Keys.Where(u => !heard.Contains(u)).Order())
        {
            found.Add(new Finding(FindingKind.PatchedButSilent, universe, true, Text($"universe {universe} is patched but silent: nothing was heard in {health.At:F0} s")));
        }
    }

    private static void Patched(List<Finding> found, UniverseHealth universe, PatchedUniverses patch)
    {
        var live = universe.Sources.Where(s => s.Standing == SourceStanding.Live).ToArray();
        if (patch.Highest.Count > 0 && live.Length > 0 && !patch.Highest.ContainsKey(universe.Universe))
        {
            found.Add(new Finding(FindingKind.HeardButNotPatched, universe.Universe, false, Text($"universe {universe.Universe} is heard from {live[0].Label} but nothing is patched there")));
        }

        if (patch.Highest.TryGetValue(universe.Universe, out var highest))
        {
            foreach (var s in live.Where(s => s.Slots > 0 && s.Slots < highest))
            {
                found.Add(new Finding(FindingKind.UniverseTooShort, universe.Universe, true, Text($"universe {universe.Universe}: {s.Label} sends {s.Slots} addresses, the patch uses {highest}; {universe.Universe}.{s.Slots + 1} and above get nothing")));
            }
        }
    }

    private static void Sources(List<Finding> found, UniverseHealth universe, PatchedUniverses patch, string lately)
    {
        var live = universe.Sources.Where(s => s.Standing == SourceStanding.Live).ToArray();
        var used = patch.Highest.Count == 0 || patch.Highest.ContainsKey(universe.Universe);
        if (universe.Disagreements.Count > 0)
        {
            var top = live.Max(s => s.Priority);
            var who = string.Join(" and ", live.Where(s => s.Priority == top || s.PerAddressPriority).Select(s => s.Label));
            found.Add(new Finding(FindingKind.SourcesDisagree, universe.Universe, used, Text($"universe {universe.Universe}: {who} fight at equal priority {top} over {AddressRanges.Write(universe.Disagreements)}")));
        }

        foreach (var s in universe.Sources.Where(s => s.Standing == SourceStanding.Lost))
        {
            var left = live.Length == 0 ? "; its last levels are held" : "; others are heard";
            found.Add(OfSource(FindingKind.SourceStopped, universe.Universe, used, new FindingDetail { Who = s.Label, Does = "stopped", Seconds = s.SecondsSinceSeen, Tail = " ago without saying so" + left }));
        }

        foreach (var s in universe.Sources.Where(s => s.Standing == SourceStanding.Ended && live.Length == 0))
        {
            found.Add(OfSource(FindingKind.SourceStopped, universe.Universe, used, new FindingDetail { Who = s.Label, Does = "ended its stream", Seconds = s.SecondsSinceSeen, Tail = " ago and no other source sends; its last levels are held" }));
        }

        foreach (var s in universe.Sources.Where(s => s.Missing > 0))
        {
            var share = 100.0 * s.Missing / (s.Missing + s.Packets);
            found.Add(OfSource(FindingKind.PacketsLost, universe.Universe, share >= 1, new FindingDetail
            {
                Who = s.Label, Does = lately.Length > 0 ? "went missing" + lately : "are missing", Count = s.Missing, Of = s.Missing + s.Packets,
            }));
        }

        if (live.Length > 0 && live.All(s => s.Preview))
        {
            found.Add(new Finding(FindingKind.PreviewOnly, universe.Universe, false, Text($"universe {universe.Universe} is preview data alone: other receivers ignore it")));
        }

        if (universe.OtherStartCodes > 0)
        {
            found.Add(new Finding(FindingKind.OtherStartCodes, universe.Universe, false, Text($"universe {universe.Universe} also carries {universe.OtherStartCodes} packets{lately} with other start codes (the last 0x{universe.LastOtherStartCode:X2}), which are no levels")));
        }

        if (universe.FrozenBySync)
        {
            found.Add(new Finding(FindingKind.LevelsFrozen, universe.Universe, used, Text($"universe {universe.Universe} is frozen: its synchronisation packets stopped and the source asks to wait for them")));
        }

        if (universe.Refused > 0)
        {
            found.Add(new Finding(FindingKind.TooMany, universe.Universe, true, Text($"universe {universe.Universe}: {universe.Refused} packets of further sources found no room{lately} beside the {universe.Sources.Count} known")));
        }
    }

    // A sender that offers a patched universe in discovery but never sent it; and one that doubles others' universes but for some.
    private static void Backups(List<Finding> found, WireHealth health, PatchedUniverses patch)
    {
        var heard = health.Universes.ToDictionary(u => u.Universe, u => u.Sources.Where(s => s.Cid is not null).Select(s => s.Cid!).ToHashSet());
        foreach (var sender in health.Senders)
        {
            var sent = heard.Where(h => h.Value.Contains(sender.Cid)).Select(h => h.Key).ToHashSet();
            var label = sender.Name.Length == 0 ? sender.Address : $"'{sender.Name}'";
            foreach (var universe in (sender.Offers ?? []).Where(u => patch.Highest.ContainsKey(u) && !sent.Contains(u)))
            {
                found.Add(new Finding(FindingKind.BackupNeverSent, universe, true, Text($"universe {universe}: {label} says it offers it but never sent a packet")));
            }

            var doubled = sent.Count(u => heard[u].Count > 1);
            if (doubled < 2 || doubled < sent.Count)
            {
                continue;
            }

            foreach (var (universe, senders) in heard.Where(h => h.Value.Count == 1 && !sent.Contains(h.Key) && patch.Highest.ContainsKey(h.Key) && !(sender.Offers ?? []).Contains(h.Key)))
            {
                found.Add(new Finding(FindingKind.BackupNeverSent, universe, false, Text($"universe {universe} has one source; {label}, which doubles {doubled} others, never sent it")));
            }
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
            foreach (var s in universe.Sources.Where(s => s.Standing == SourceStanding.Live && s.SecondsSinceChange >= StillAfterSeconds && moving.Contains(s.Cid ?? s.Address)))
            {
                found.Add(OfSource(FindingKind.LevelsFrozen, universe.Universe, false, new FindingDetail { Who = s.Label, Does = "hasn't changed a level for", Seconds = s.SecondsSinceChange, Tail = " while its other universes move" }));
            }
        }
    }

    private static void Machine(List<Finding> found, WireHealth health, string lately)
    {
        if (health.KernelDrops > 0)
        {
            found.Add(new Finding(FindingKind.DroppedByThisMachine, null, true, Text($"this machine dropped {health.KernelDrops} packets{lately} for want of receive buffer; lift it with 'sysctl -w net.core.rmem_max=67108864'")));
        }

        if (health.NoRoom > health.Universes.Sum(u => u.Refused))
        {
            found.Add(new Finding(FindingKind.TooMany, null, true, Text($"{health.NoRoom - health.Universes.Sum(u => u.Refused)} packets of further universes or senders found no room{lately}; the bounds protect this machine's memory")));
        }

        if (health.Malformed > 0)
        {
            found.Add(new Finding(FindingKind.Malformed, null, false, Text($"{health.Malformed} malformed packets were refused{lately}; the last: {health.LastMalformed}")));
        }
    }

    private static Finding OfSource(FindingKind kind, int universe, bool stands, FindingDetail detail) =>
        new(kind, universe, stands, detail.Say(kind, Text($"universe {universe}"))) { Detail = detail };

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
