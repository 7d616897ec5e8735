using System.Numerics;
using StageView.Ground.Indices;

namespace StageView.Light.Cautions;

public enum CautionKind
{
    /// <summary>A beam, direct or reflected, shines into the volume.</summary>
    Beam,

    /// <summary>A laser ray crosses the volume.</summary>
    Laser,

    /// <summary>A laser ray passes closer to the volume than the separation asked for.</summary>
    LaserNear,
}

/// <summary>Something that enters a volume in which people may be. A reason to look, never a verdict.</summary>
public sealed record Caution
{
    public required CautionKind Kind { get; init; }

    public required WatchedVolume Volume { get; init; }

    /// <summary>Index of the fixture in the rig.</summary>
    public required FixtureIndex Fixture { get; init; }

    public required int Emitter { get; init; }

    /// <summary>Mirrors met on the way.</summary>
    public required int Bounces { get; init; }

    /// <summary>Where it is strongest, m.</summary>
    public required Vector3 Point { get; init; }

    /// <summary>Whole path from the aperture to there, m.</summary>
    public required float PathMetres { get; init; }

    /// <summary>Illuminance of a plane that faces the light, lx (beams).</summary>
    public float Lux { get; init; }

    /// <summary>Irradiance averaged over the beam, W/m² (lasers).</summary>
    public double Irradiance { get; init; }

    /// <summary>Distance inside which the irradiance exceeds the limit used, m (lasers).</summary>
    public double HazardDistance { get; init; }
}
