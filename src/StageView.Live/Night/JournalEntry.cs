namespace StageView.Live.Night;

/// <param name="Number">From 1, never reused.</param>
/// <param name="Kind"><c>network</c>, <c>rig</c>, <c>picture</c>, <c>recorder</c>, <c>caution</c>, <c>refocus</c>, <c>page</c> or <c>show</c>.</param>
/// <param name="Times">How often the same thing was said in a row.</param>
internal sealed record JournalEntry(long Number, DateTimeOffset At, DateTimeOffset Until, string Kind, string Text, int Times);
