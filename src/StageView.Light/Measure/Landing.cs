using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;

namespace StageView.Light.Measure;

/// <summary>Where one beam, direct or reflected, lands.</summary>
public readonly record struct Landing
{
    /// <summary>Which of <see cref="Moment.Beams"/>.</summary>
    public BeamIndex Beam { get; init; }

    /// <summary>False when the axis misses the mirror's lit part; the landing is then that of the mean direction of the light that passes.</summary>
    public bool OnAxis { get; init; }

    /// <summary>World point, m.</summary>
    public Vector3 Point { get; init; }

    /// <summary>Normal of the surface there, turned towards the light.</summary>
    public Vector3 Normal { get; init; }

    /// <summary>What of <see cref="Moment.Scenery"/> it lands on, or none.</summary>
    public InstanceIndex Instance { get; init; }

    /// <summary>Which of <see cref="Moment.Mirrors"/> the axis meets, or none.</summary>
    public MirrorIndex Mirror { get; init; }

    /// <summary>Length of the whole way from the lens, over all mirrors, m.</summary>
    public float ThrowMetres { get; init; }

    /// <summary>Angle between the ray and the surface's normal, rad.</summary>
    public float IncidenceRadians { get; init; }

    /// <summary>Illuminance that this beam alone gives the surface at the point, lx.</summary>
    public float CentreLux { get; init; }
}
