using StageView.Wire.Health;

namespace StageView.Show.Recordings;

/// <summary>Something that was wrong for a while, and when.</summary>
/// <param name="Finding">As it was told last, or with the largest count.</param>
/// <param name="Times">When it was so, in order; of one that comes and goes more often, the first <see cref="RecordingWatch.MostSpells"/>.</param>
/// <param name="Spells">How often altogether.</param>
/// <param name="Seconds">How long altogether, s.</param>
public sealed record HeardFinding(Finding Finding, IReadOnlyList<HeardSpell> Times, int Spells, double Seconds);
