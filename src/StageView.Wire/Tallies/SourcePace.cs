namespace StageView.Wire.Tallies;

/// <summary>How a source's packets came within the last seconds.</summary>
/// <param name="Seconds">How many: ten or a little more, fewer at its beginning.</param>
/// <param name="Packets">Packets of it that were taken.</param>
/// <param name="Levels">Those with levels.</param>
/// <param name="Bunched">Of these, how many came within a quarter of a DMX512 frame after the one before.</param>
/// <param name="Again">Packets that came once more, at once or later; not among <paramref name="Packets"/> but for those taken for a new start.</param>
/// <param name="Later">Of these, how many came after others.</param>
/// <param name="MinuteSeconds">A longer time, a minute where it has been known for that long.</param>
/// <param name="PriorityChanges">Changes of priority within it.</param>
/// <param name="MinuteLevels">Packets with levels within it.</param>
public sealed record SourcePace(
    double Seconds, long Packets, long Levels, long Bunched, long Again, long Later, double MinuteSeconds, long PriorityChanges, long MinuteLevels);
