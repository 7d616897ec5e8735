namespace StageView.Stage.Changes;

/// <summary>A time worth a picture.</summary>
/// <param name="At">Show time.</param>
/// <param name="Part">What of the change is seen: halfway, settled, flash.</param>
/// <param name="Why">In words.</param>
/// <param name="Change">The change it belongs to; null for the look before the first.</param>
public sealed record FoundMoment(TimeSpan At, string Part, string Why, FoundChange? Change);
