namespace StageView.Wire.Tallies;

/// <summary>A source's part in the levels of its universe, as the merge gave it.</summary>
/// <param name="Use">What the merge does with it.</param>
/// <param name="Wins">Addresses whose level in force is its own, 0 to 512. Sources of equal priority that send the same level both win it.</param>
/// <param name="Of">Addresses that it sources, 0 to 512: it sends a level and has a priority there.</param>
/// <param name="Why">Why it isn't in force.</param>
public sealed record SourceShare(SourceUse Use, int Wins, int Of, UnusedReason Why);
