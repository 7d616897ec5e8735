using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Volumes;

namespace StageView.Light.Cautions;

public enum CautionKind
{
    /// <summary>A beam, direct or reflected, shines into the volume.</summary>
    Beam,

    /// <summary>A laser ray crosses the volume.</summary>
    Laser,

    /// <summary>A laser ray passes closer to the volume than the separation asked for.</summary>
    LaserNear,

    /// <summary>The pixel surfaces and globes of one fixture light the volume.</summary>
    Surface,

    /// <summary>All light of the moment together; fixture and emitter are -1.</summary>
    Total,
}

/// <summary>Something that enters a volume in which people may be. A reason to look, never a verdict.</summary>
public sealed record Caution
{
    public required CautionKind Kind { get; init; }

    public required WatchedVolume Volume { get; init; }

    /// <summary>Index of the fixture in the rig, or none.</summary>
    public required FixtureIndex Fixture { get; init; }

    /// <summary>Which emitter of it, or -1.</summary>
    public required int Emitter { get; init; }

    /// <summary>Mirrors met on the way.</summary>
    public required int Bounces { get; init; }

    /// <summary>Where it is strongest, m.</summary>
    public required Vector3 Point { get; init; }

    /// <summary>Whole path from the aperture to there, m; 0 for surfaces and for all light together.</summary>
    public required float PathMetres { get; init; }

    /// <summary>Illuminance of a plane that faces the light, lx (beams, surfaces, all together).</summary>
    public float Lux { get; init; }

    /// <summary>Light from all round, ∫ L dω, lx (surfaces, all together): what is compared with the least, as no plane gets more.</summary>
    public float AllRoundLux { get; init; }

    /// <summary>
    /// No point of the volume has more, lx. Well above <see cref="Lux"/> when the search had to stop: then it could only not be ruled out that there is
    /// more.
    /// </summary>
    public float AtMostLux { get; init; }

    /// <summary>Irradiance averaged over the beam, W/m², while it is there (lasers).</summary>
    public double Irradiance { get; init; }

    /// <summary>Exposure over its limit at <see cref="Point"/>; of a scanned figure by the rules for repeated pulses (lasers).</summary>
    public double ExposureRatio { get; init; }

    /// <summary>Whether it is a scanned figure (lasers).</summary>
    public bool IsScanned { get; init; }

    /// <summary>Distance inside which the irradiance exceeds the limit used, m (lasers).</summary>
    public double HazardDistance { get; init; }
}
