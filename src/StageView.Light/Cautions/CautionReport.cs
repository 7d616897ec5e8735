using StageView.Light.Cautions.Limits;

namespace StageView.Light.Cautions;

/// <summary>What a check looked at, and with which limits.</summary>
/// <param name="What">A clause, such as "beams against volumes".</param>
/// <param name="Count">How many things were looked at.</param>
/// <param name="Limits">The limits used.</param>
public sealed record CheckedThing(string What, int Count, IReadOnlyList<CautionLimit> Limits);

/// <summary>What a check did not look at.</summary>
/// <param name="What">A clause.</param>
/// <param name="Why">A clause.</param>
public sealed record UncheckedThing(string What, string Why);

/// <summary>
/// The answer of a check: never only what was found, always also what was looked at, with which limits, and what was not. An empty
/// <see cref="Found"/> says that this check found nothing within <see cref="Checked"/>; it never says that something is safe.
/// </summary>
public sealed record CautionReport
{
    public required IReadOnlyList<Caution> Found { get; init; }

    public required IReadOnlyList<CheckedThing> Checked { get; init; }

    public required IReadOnlyList<UncheckedThing> NotChecked { get; init; }

    public required CautionLimits Limits { get; init; }

    /// <summary>False when there was nothing to check against, such as a rig without volumes: then "nothing found" must not be said.</summary>
    public bool AnythingChecked => Checked.Count > 0;
}
