namespace StageView.Show.Recordings;

/// <summary>A source of one universe over a recording.</summary>
/// <param name="Universe">Which.</param>
/// <param name="Source">Name and address.</param>
/// <param name="Packets">How many came.</param>
/// <param name="Missing">Numbers that its sequence skipped.</param>
/// <param name="SlowestPerSecond">Lowest rate while it was live, packets a second, over ten seconds or what there was.</param>
/// <param name="FastestPerSecond">Highest.</param>
/// <param name="Times">When it was live.</param>
/// <param name="Wins">When it was in force, for one address at least.</param>
public sealed record HeardSource(
    int Universe, string Source, long Packets, long Missing, double SlowestPerSecond, double FastestPerSecond, IReadOnlyList<HeardSpell> Times,
    IReadOnlyList<HeardSpell> Wins);
