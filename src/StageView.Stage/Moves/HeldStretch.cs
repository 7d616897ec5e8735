using StageView.Ground.Indices;

namespace StageView.Stage.Moves;

/// <summary>A stretch of time in which a lit head stands still.</summary>
/// <param name="Fixture">Index in the rig.</param>
/// <param name="From">When it had arrived and was lit, s.</param>
/// <param name="To">When it left, or went dark, s.</param>
/// <param name="Pan">Degrees of its own axis.</param>
/// <param name="Tilt">Degrees of its own axis.</param>
public sealed record HeldStretch(FixtureIndex Fixture, double From, double To, float Pan, float Tilt)
{
    public double Seconds => To - From;

    /// <summary>When its axes set off for it, s; the beginning of the show for where it stood then.</summary>
    public double Left { get; init; }

    /// <summary>Where the axes of what carries it stand, the nearest first; empty for a head that nothing carries.</summary>
    public IReadOnlyList<HeldAxis> Riding { get; init; } = [];

    /// <summary>Zooms and focuses that are held in it, in order of time; empty for a head with neither.</summary>
    public IReadOnlyList<HeldOptics> Optics { get; init; } = [];
}
