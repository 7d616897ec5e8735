namespace StageView.Wire.Clock;

/// <summary>A timecode label and when its frame began.</summary>
/// <param name="At">Show time, or time since the start of the sound.</param>
/// <param name="Timecode">The label.</param>
public readonly record struct TimecodeAt(TimeSpan At, Timecode Timecode);
