using System.Numerics;

namespace StageView.Light.Moments;

/// <summary>One laser ray at this instant, or one leg of it between mirrors.</summary>
public readonly record struct LaserBeam
{
    public int Fixture { get; init; }

    public int Emitter { get; init; }

    public int Bounces { get; init; }

    /// <summary>Where this leg starts, m.</summary>
    public Vector3 Origin { get; init; }

    public Vector3 Direction { get; init; }

    /// <summary>Length of this leg, m: to the mirror or surface it meets, or a far limit.</summary>
    public float Length { get; init; }

    /// <summary>Distance already travelled before this leg, m (the beam has spread by then).</summary>
    public float PathBefore { get; init; }

    /// <summary>Radiant power, W.</summary>
    public float PowerWatts { get; init; }

    /// <summary>Luminous flux, lm (683 lm/W × V(λ) × power, summed over its colours).</summary>
    public float FluxLumens { get; init; }

    /// <summary>Chromaticity as linear Rec.709 with luminance 1; out of gamut part kept.</summary>
    public Vector3 Colour { get; init; }

    /// <summary>Diameter at the aperture, m.</summary>
    public float ApertureMetres { get; init; }

    /// <summary>Full divergence, rad.</summary>
    public float DivergenceRadians { get; init; }
}
