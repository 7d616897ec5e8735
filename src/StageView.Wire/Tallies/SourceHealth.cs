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
