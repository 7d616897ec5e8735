using StageView.Wire.Datagrams;
using StageView.Wire.Tallies;

namespace StageView.Wire.Levels;

/// <summary>What was heard, as a snapshot of plain data.</summary>
public sealed partial class UniverseMerger
{
    /// <summary>Takes a snapshot; it allocates, so ask a few times a second, not per packet.</summary>
    public WireHealth Health() => new()
    {
        At = _now.TotalSeconds,
        Universes = [.. _universes.OrderBy(u => u.Number).Select(HealthOf)],
        Senders = [.. _senders.Values.Select(s => new SenderHealth(s.Name, s.Cid.ToString(), s.Address.ToString(), s.Discovered?.Select(u => (int)u).ToArray(),
                s.Discovered is null ? null : (_now - s.DiscoveredAt).TotalSeconds))
            .OrderBy(s => s.Cid, StringComparer.Ordinal)],
        Received = Counters.Received,
        Taken = Counters.Taken,
        Malformed = Counters.Malformed,
        Ignored = Counters.Ignored,
        NoRoom = Counters.NoRoom,
        PreviewRefused = Counters.PreviewRefused,
        LastMalformed = Counters.Malformed > 0 ? LastRefusal.ToString() : null,
        MalformedFrom = [.. _malformed.Select(m => new MalformedSender(HostOf(m.Key), m.Value.Count, m.Value.Why.ToString()))
            .OrderByDescending(m => m.Count).ThenBy(m => m.Host, StringComparer.Ordinal)],
    };

    private UniverseHealth HealthOf(UniverseState universe) => new()
    {
        Universe = universe.Number.Value,
        Sources = [.. universe.Sources.Where(IsKnown).Zip(SharesOf(universe), HealthOf)],
        Refused = universe.Refused,
        OtherStartCodes = universe.OtherStartCodes,
        LastOtherStartCode = universe.LastOtherStartCode,
        Disagreements = Disagreements(universe),
        FrozenBySync = universe.Sources.Exists(s => s.Live && s.PendingFor is { Active: false, Lost: true }),
    };

    private SourceHealth HealthOf(SourceState source, SourceShare share) => new()
    {
        Protocol = source.Protocol,
        Name = source.Sender?.Name ?? "",
        Cid = source.Sender?.Cid.ToString(),
        Address = source.Address.ToString(),
        SharedBy = [.. (source.Clash?.Now(_now) ?? []).Select(a => a.ToString())],
        Id = source.Sender is { } sender ? sender.Cid.ToString() : FormattableString.Invariant($"{source.Address with { Port = 0 }}/{source.Physical}"),
        Standing = StandingOf(source),
        Share = share,
        Priority = source.Priority,
        PerAddressPriority = source.HasPriorities,
        Preview = source.Preview,
        Slots = source.Slots,
        SyncAddress = source.SyncAddress,
        Packets = source.Packets,
        PreviewRefused = source.PreviewRefused,
        Missing = source.Missing,
        OutOfOrder = source.OutOfOrder,
        Duplicates = source.Duplicates,
        Echoes = source.Echoes,
        LevelPackets = source.LevelPackets,
        Bunched = source.Bunched,
        PriorityChanges = source.PriorityChanges,
        PrioritiesIgnored = source.PrioritiesIgnored,
        SecondsLive = source.Live ? (_now - source.LiveSince).TotalSeconds : 0,
        SecondsSinceLevels = (_now - source.LastLevels).TotalSeconds,
        IntervalMilliseconds = source.MeanInterval * 1000,
        JitterMilliseconds = source.MeanJitter * 1000,
        SecondsSinceSeen = (_now - (IsRefusedNow(source) && source.LastRefused > source.LastSeen ? source.LastRefused : source.LastSeen)).TotalSeconds,
        HoldSeconds = LossTimeout(source).TotalSeconds,
        SecondsSinceChange = (_now - source.LastChange).TotalSeconds,
    };

    private static string HostOf(SourceAddress address)
    {
        var text = address.ToString();
        return text[..text.LastIndexOf(':')];
    }

    // Sources of the highest rank that send different levels at an address, and don't do one after the other the same.
    private List<int> Disagreements(UniverseState universe)
    {
        var found = new List<int>();
        if (universe.LiveCount < 2)
        {
            return found;
        }

        Span<byte> ranks = stackalloc byte[LevelFold.Size];
        Span<byte> best = stackalloc byte[LevelFold.Size];
        Span<byte> lowest = stackalloc byte[LevelFold.Size];
        Span<byte> highest = stackalloc byte[LevelFold.Size];
        best.Clear();
        foreach (var source in universe.Sources)
        {
            if (!source.Ready)
            {
                continue;
            }

            source.Ranks(ranks);
            for (var i = 0; i < LevelFold.Size; i++)
            {
                if (ranks[i] > best[i])
                {
                    best[i] = ranks[i];
                    lowest[i] = highest[i] = source.Levels[i];
                }
                else if (ranks[i] == best[i] && ranks[i] != 0)
                {
                    lowest[i] = Math.Min(lowest[i], source.Levels[i]);
                    highest[i] = Math.Max(highest[i], source.Levels[i]);
                }
            }
        }

        for (var i = 0; i < LevelFold.Size; i++)
        {
            if (best[i] != 0 && lowest[i] != highest[i] && !Follow(universe, i, best[i]))
            {
                found.Add(i + 1);
            }
        }

        return found;
    }

    private bool Follow(UniverseState universe, int address, byte rank)
    {
        Span<byte> ranks = stackalloc byte[LevelFold.Size];
        SourceState? first = null;
        foreach (var source in universe.Sources)
        {
            if (!source.Ready)
            {
                continue;
            }

            source.Ranks(ranks);
            if (ranks[address] != rank)
            {
                continue;
            }

            first ??= source;
            if (source != first && source.Levels[address] != first.Levels[address] && !LevelTrail.Follow(first, source, address, _now))
            {
                return false;
            }
        }

        return true;
    }
}
