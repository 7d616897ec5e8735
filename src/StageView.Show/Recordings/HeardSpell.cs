namespace StageView.Show.Recordings;

/// <summary>A stretch of a recording.</summary>
/// <param name="From">Seconds since its first record.</param>
/// <param name="To">The same, not before <paramref name="From"/>.</param>
/// <param name="Timecode">The label at its beginning; null where none was heard.</param>
public sealed record HeardSpell(double From, double To, string? Timecode);
