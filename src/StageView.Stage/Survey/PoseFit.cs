using StageView.Light.Geometry;

namespace StageView.Stage.Survey;

/// <summary>How a part really hangs, from rays that its heads sent through marks.</summary>
public sealed record PoseFit
{
    /// <summary>From where the rig file has the part to where it hangs, in the world.</summary>
    public required RigidMotion Motion { get; init; }

    /// <summary>The middle of the lenses in the rig file, which the covariance is about, m.</summary>
    public required Vector3d Middle { get; init; }

    /// <summary>
    /// Of how far the middle went along x, y, z (m), and of a small turn about x, y, z (rad), 6 by 6, as the stated spread of readings makes it; null where
    /// the sightings leave something open.
    /// </summary>
    public required double[,]? Covariance { get; init; }

    /// <summary>The inverse of the covariance.</summary>
    public required double[,] Normal { get; init; }

    /// <summary>Sum of the squared angles in standard deviations; about <see cref="Freedom"/> where readings are as good as stated.</summary>
    public required double Cost { get; init; }

    /// <summary>Angles beyond the six that fix a pose.</summary>
    public required int Freedom { get; init; }

    /// <summary>One a sighting.</summary>
    public required IReadOnlyList<SightingFit> Sightings { get; init; }

    /// <summary>Another place that fits as well, or null.</summary>
    public RigidMotion? Other { get; init; }

    /// <summary>How far the middle of the lenses went, m.</summary>
    public Vector3d Moved => Motion.Apply(Middle) - Middle;
}

/// <summary>How one sighting fits.</summary>
/// <param name="Angle">From the beam's axis to its mark, rad.</param>
/// <param name="Miss">Distance of the axis from the mark, m.</param>
/// <param name="Test">
/// By how much the cost would fall without it: the square of the residual over its own covariance. Of a good sighting it is above 13.8 once in a thousand
/// (chi-square, two degrees of freedom).
/// </param>
/// <param name="Checked">How much of it the others check, 0 (nothing: a mistake in it can't be seen) to 1.</param>
public readonly record struct SightingFit(double Angle, double Miss, double Test, double Checked);
