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
    SourceProtocol Protocol, string Label, SourceStanding Standing, int Priority, int? Level, double SecondsSinceSeen, bool Preview, bool Wins);
