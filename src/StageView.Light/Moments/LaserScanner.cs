using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;

namespace StageView.Light.Moments;

/// <summary>A laser that draws a figure at this instant; its rays are among <see cref="Moment.Lasers"/>, with their share of the power each.</summary>
public readonly record struct LaserScanner
{
    public FixtureIndex Fixture { get; init; }

    public int Emitter { get; init; }

    /// <summary>The figure: 1-based place in <see cref="Moment.Scans"/>.</summary>
    public int Scan { get; init; }

    /// <summary>Where the beam leaves, m.</summary>
    public Vector3 Origin { get; init; }

    /// <summary>The scan's middle, unit vector.</summary>
    public Vector3 Axis { get; init; }

    /// <summary>Upwards in the figure, unit vector square to <see cref="Axis"/>.</summary>
    public Vector3 Up { get; init; }

    /// <summary>Radiant power while the beam is lit, W.</summary>
    public float PowerWatts { get; init; }

    /// <summary>Luminous flux while the beam is lit, lm.</summary>
    public float FluxLumens { get; init; }

    /// <summary>As in <see cref="LaserBeam.Colour"/>.</summary>
    public Vector3 Colour { get; init; }

    /// <summary>Diameter at the aperture, m.</summary>
    public float ApertureMetres { get; init; }

    /// <summary>Full divergence, rad.</summary>
    public float DivergenceRadians { get; init; }

    /// <summary>Where the beam points at angles to the right and up of the middle, rad: turned to the right first, then up.</summary>
    public Vector3 DirectionOf(Vector2 angles)
    {
        var (sinX, cosX) = Trig.SinCos(angles.X);
        var (sinY, cosY) = Trig.SinCos(angles.Y);
        return (Axis * (cosX * cosY)) + (Vector3.Cross(Axis, Up) * (sinX * cosY)) + (Up * sinY);
    }
}
