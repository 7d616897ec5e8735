namespace StageView.Stage.Changes;

/// <summary>A time worth a picture.</summary>
/// <param name="At">Show time.</param>
/// <param name="Label">A name that stays the same when the change comes earlier or later: its number and what of it is seen.</param>
/// <param name="Why">In words.</param>
/// <param name="Change">The change it belongs to; null for the look before the first.</param>
public sealed record FoundMoment(TimeSpan At, string Label, string Why, FoundChange? Change);
