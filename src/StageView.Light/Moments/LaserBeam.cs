using System.Numerics;
using StageView.Ground.Indices;

namespace StageView.Light.Moments;

/// <summary>One laser ray at this instant, or one leg of it between mirrors.</summary>
public readonly record struct LaserBeam
{
    public FixtureIndex Fixture { get; init; }

    public int Emitter { get; init; }

    public int Bounces { get; init; }

    /// <summary>Where this leg starts, m.</summary>
    public Vector3 Origin { get; init; }

    public Vector3 Direction { get; init; }

    /// <summary>Length of this leg, m: to the mirror or surface it meets, or a far limit.</summary>
    public float Length { get; init; }

    /// <summary>Distance already travelled before this leg, m (the beam has spread by then).</summary>
    public float PathBefore { get; init; }

    /// <summary>Radiant power, W; of a ray of a scanned figure the mean.</summary>
    public float PowerWatts { get; init; }

    /// <summary>The scanner that draws it: 1-based place in <see cref="Moment.Scanners"/>, or 0 for a beam that stands still.</summary>
    public int Scanner { get; init; }

    /// <summary>Where in the figure it lies, rad right and up of the scan's middle.</summary>
    public Vector2 ScanDirection { get; init; }

    /// <summary>The farthest part of the figure that it stands for, rad.</summary>
    public float ScanRadius { get; init; }

    /// <summary>Of a ray of a scanned figure: radiant power while the beam is there, W.</summary>
    public float PeakWatts { get; init; }

    /// <summary>Of a reflected leg: place of the leg before it in <see cref="Moment.Lasers"/>.</summary>
    public int Parent { get; init; }

    /// <summary>Of a reflected leg: the mirror that it comes from.</summary>
    public MirrorIndex Mirror { get; init; }

    /// <summary>Radiant power while the beam is there, W: <see cref="PeakWatts"/> where it is scanned, else <see cref="PowerWatts"/>.</summary>
    public float LitWatts => Scanner > 0 ? PeakWatts : PowerWatts;

    /// <summary>Luminous flux, lm (683 lm/W × V(λ) × power, summed over its colours).</summary>
    public float FluxLumens { get; init; }

    /// <summary>Chromaticity as linear Rec.709 with luminance 1; out of gamut part kept.</summary>
    public Vector3 Colour { get; init; }

    /// <summary>Diameter at the aperture, m.</summary>
    public float ApertureMetres { get; init; }

    /// <summary>Full divergence, rad.</summary>
    public float DivergenceRadians { get; init; }
}
