using StageView.Wire.Universes;

namespace StageView.Wire.Tallies;

/// <summary>What one source of a universe says of one address, and what became of it in the merge.</summary>
/// <param name="Protocol">What it speaks.</param>
/// <param name="Label">The name it gives itself and where it sends from.</param>
/// <param name="Standing">Whether it is heard.</param>
/// <param name="Priority">Its priority for this address; 0 when it doesn't source it.</param>
/// <param name="Level">Its level, or null when it doesn't source the address.</param>
/// <param name="SecondsSinceSeen">Since its last packet, s.</param>
/// <param name="Preview">Meant for visualisation.</param>
/// <param name="Wins">Whether its level is the one in force; of a source that is gone, whether it is the one that is held.</param>
public sealed record AddressSource(
    SourceProtocol Protocol, string Label, SourceStanding Standing, int Priority, int? Level, double SecondsSinceSeen, bool Preview, bool Wins)
{
    /// <summary>What tells it from others of its universe, which may have its name and host: its CID, in Art-Net its host and physical input.</summary>
    public string Id { get; init; } = "";

    /// <summary>The name it gives itself; empty for Art-Net, which names nodes and not sources.</summary>
    public string Name { get; init; } = "";

    /// <summary>Where it sends from, without the port.</summary>
    public string Host { get; init; } = "";

    /// <summary>Whether <see cref="Priority"/> is the one that it gives this address (start code 0xDD) and not that of its packets.</summary>
    public bool PerAddressPriority { get; init; }

    /// <summary>Why its level isn't in force, or why a level that is held is no longer sent.</summary>
    public UnusedReason Why { get; init; }

    /// <summary>Whether it and another of the highest priority send different levels at the address, and not one after the other the same.</summary>
    public bool Fights { get; init; }
}
