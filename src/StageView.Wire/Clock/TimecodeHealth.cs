namespace StageView.Wire.Clock;

/// <summary>The timecode on the network, as heard so far.</summary>
/// <param name="Label">The label as of now; where it stands, the last one.</param>
/// <param name="Rate">Its rate.</param>
/// <param name="Runs">Whether it is heard, or was within the freewheel time, and counts on.</param>
/// <param name="From">Who sent the last.</param>
/// <param name="AlsoFrom">Another host that sent one within the last second; null when there is one alone.</param>
/// <param name="Events">The first and the latest of its starts, stops, jumps and dropouts, oldest first.</param>
/// <param name="Happened">How many there were altogether.</param>
public sealed record TimecodeHealth(
    string Label, TimecodeRate Rate, bool Runs, string From, string? AlsoFrom, IReadOnlyList<TimecodeEvent> Events, long Happened);
