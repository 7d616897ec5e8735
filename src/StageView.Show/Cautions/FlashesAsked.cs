using StageView.Light.Cautions.Limits;

namespace StageView.Show.Cautions;

/// <summary>What is asked about flashes and bright light.</summary>
public sealed record FlashesAsked
{
    /// <summary>The finest step, s.</summary>
    public const double LeastStep = 0.002;

    /// <summary>The coarsest: three flashes a second need twelve moments.</summary>
    public const double MostStep = 1 / 12.0;

    /// <summary>Time between moments, s; flashes up to a quarter of so many a second are counted by their light.</summary>
    public double Step { get; init; } = 1 / 60.0;

    /// <summary>Show time of the first moment, s.</summary>
    public double From { get; init; }

    /// <summary>Show time of the last moment, s.</summary>
    public required double To { get; init; }

    /// <summary>Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</summary>
    public int? Bounces { get; init; }

    public required CautionLimits Limits { get; init; }

    /// <summary>Why this can't be asked, in a sentence, or null.</summary>
    public string? Fault() =>
        !(Step is >= LeastStep and <= MostStep)
            ? "--every takes 0.002 to 0.0833 seconds: slower than twelve moments a second can't tell four flashes from three"
        : !(From >= 0 && To > From) ? "the time to look at is empty: --to must lie after --from"
        : Limits.Fault();
}
