using StageView.Wire.Universes;

namespace StageView.Wire.Tallies;

/// <summary>One source of one universe, as heard so far.</summary>
public sealed record SourceHealth
{
    public required SourceProtocol Protocol { get; init; }

    /// <summary>Fit to print; empty for Art-Net, which names nodes and not sources.</summary>
    public required string Name { get; init; }

    /// <summary>E1.31 only.</summary>
    public required string? Cid { get; init; }

    public required string Address { get; init; }

    /// <summary>The addresses of senders that are heard with this one CID at a time, up to four; empty when there are no two.</summary>
    public IReadOnlyList<string> SharedBy { get; init; } = [];

    /// <summary>What tells it from the other sources of its universe: its CID, in Art-Net its host and physical input.</summary>
    public required string Id { get; init; }

    public required SourceStanding Standing { get; init; }

    /// <summary>What of it is in force.</summary>
    public required SourceShare Share { get; init; }

    public required int Priority { get; init; }

    public required bool PerAddressPriority { get; init; }

    public required bool Preview { get; init; }

    /// <summary>Addresses in its last packet of levels.</summary>
    public required int Slots { get; init; }

    /// <summary>Synchronisation address, 0 for none.</summary>
    public required int SyncAddress { get; init; }

    public required long Packets { get; init; }

    /// <summary>Packets of preview data that the settings refuse; not among <see cref="Packets"/>.</summary>
    public required long PreviewRefused { get; init; }

    /// <summary>Since the sample before.</summary>
    public double PacketsPerSecond { get; init; }

    /// <summary>Numbers that its sequence skipped.</summary>
    public required long Missing { get; init; }

    public required long OutOfOrder { get; init; }

    public required long Duplicates { get; init; }

    /// <summary>Numbers that came again after others.</summary>
    public long Echoes { get; init; }

    /// <summary>Packets with levels.</summary>
    public long LevelPackets { get; init; }

    /// <summary>Of those, how many came within a quarter of a DMX512 frame after the one before.</summary>
    public long Bunched { get; init; }

    /// <summary>Changes of its priority.</summary>
    public long PriorityChanges { get; init; }

    /// <summary>Packets of per-address priority that the settings ignore.</summary>
    public long PrioritiesIgnored { get; init; }

    /// <summary>For how long it has been live, s; 0 when it isn't.</summary>
    public double SecondsLive { get; init; }

    /// <summary>Since its last packet with levels, or since it was first heard.</summary>
    public double SecondsSinceLevels { get; init; }

    /// <summary>How its packets came lately; null while it is too new to say.</summary>
    public SourcePace? Pace { get; init; }

    /// <summary>Running mean of the time between packets.</summary>
    public required double IntervalMilliseconds { get; init; }

    /// <summary>Running mean of how far the intervals lie from it.</summary>
    public required double JitterMilliseconds { get; init; }

    public required double SecondsSinceSeen { get; init; }

    /// <summary>How long its levels count after its last packet, s: 2.5 in E1.31 (§6.7.1), 10 in Art-Net.</summary>
    public required double HoldSeconds { get; init; }

    public required double SecondsSinceChange { get; init; }

    /// <summary>What a reader calls it: name and address.</summary>
    public string Label => Name.Length == 0 ? $"{(Protocol == SourceProtocol.ArtNet ? "Art-Net " : "")}{Host}" : $"'{Name}' at {Host}";

    /// <summary>Where it sends from, without the port.</summary>
    public string Host => Address[..Address.LastIndexOf(':')];
}
