namespace StageView.Wire.Capture;

/// <summary>A place in a capture where reading can begin.</summary>
/// <param name="At">Time since the first record; no datagram before the place is later.</param>
/// <param name="Offset">Byte offset of a record.</param>
/// <param name="Table">Which interface table holds there.</param>
/// <param name="Last">The last packet of each stream before the place, so that what was held is known: its time, offset and table.</param>
internal sealed record CaptureMark(TimeSpan At, long Offset, int Table, IReadOnlyList<(TimeSpan At, long Offset, int Table)> Last);
