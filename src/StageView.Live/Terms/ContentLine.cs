namespace StageView.Live.Terms;

/// <summary>One content over the pixels, and what it shows.</summary>
/// <param name="Name">Its name in the rig file.</param>
/// <param name="On">What it lies on, in words.</param>
/// <param name="State"><c>waits</c> (for its time), <c>runs</c>, <c>over</c>, <c>lost</c> or <c>closed</c> (a live input that is not opened).</param>
/// <param name="Seconds">The time within it that shows, whole s; null where it has none.</param>
/// <param name="Why">Why it waits or is lost; null otherwise.</param>
internal sealed record ContentLine(string Name, string On, string State, long? Seconds, string? Why);
