namespace StageView.Light.Photometry;

/// <summary>
/// Luminous intensity measured over directions, as relative values (1 is the largest). Polar angle from the beam's axis
/// (its own -Z), azimuth about it from the beam's own +X towards its +Y.
/// </summary>
public sealed record PhotometricWeb
{
    public required string Name { get; init; }

    /// <summary>Polar angles, rad, rising from 0.</summary>
    public required float[] PolarRadians { get; init; }

    /// <summary>Azimuths, rad, rising from 0, the last below 2π; a single one for axial symmetry.</summary>
    public required float[] AzimuthRadians { get; init; }

    /// <summary>Relative intensity by azimuth, then polar angle.</summary>
    public required float[] Relative { get; init; }

    /// <summary>Intensity where the relative value is 1, cd.</summary>
    public required float PeakCandela { get; init; }

    /// <summary>Lumens by exact integration of the bilinear interpolation, lm.</summary>
    public required float Lumens { get; init; }
}
