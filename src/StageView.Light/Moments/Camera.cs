using System.Numerics;
using StageView.Light.Geometry;

namespace StageView.Light.Moments;

/// <summary>A view of the moment.</summary>
public sealed record Camera
{
    public required string Name { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Position { get; init; }

    /// <summary>The point looked at, m.</summary>
    public required Vector3 Target { get; init; }

    /// <summary>Which way is up in the picture.</summary>
    public Vector3 Up { get; init; } = Vector3.UnitZ;

    /// <summary>Full vertical angle of view, rad.</summary>
    public float VerticalFieldRadians { get; init; } = 50f * Angles.RadiansPerDegree;

    /// <summary>Exposure value at ISO 100. Saturation luminance is 1.2 × 2^EV100 cd/m² (see photometry notes).</summary>
    public float Ev100 { get; init; } = 7;

    /// <summary>White balance of the sensor: light of this colour temperature comes out neutral, K; 6504 leaves D65 neutral.</summary>
    public float WhitePointKelvin { get; init; } = 6504;

    /// <summary>White of the projector that shows the picture, K: what is neutral in the picture is seen as this; 6504 is the screen's own (D65).</summary>
    public float ProjectorKelvin { get; init; } = 6504;

    /// <summary>Diameter of the lens' opening, m: what is not at <see cref="FocusDistance"/> then blurs. 0 for a picture that is sharp everywhere.</summary>
    public float LensDiameter { get; init; }

    /// <summary>How far before the camera the plane in focus lies, m, along the camera's axis.</summary>
    public float FocusDistance { get; init; } = 10;

    /// <summary>Share of all light that the lens scatters about its place, 0 to 0.5; see the renderer's <c>LensScatter</c>.</summary>
    public float Bloom { get; init; }

    /// <summary>Whether edges of things are shared out by four places in each pixel; what is the mean of many samples has no need of it.</summary>
    public bool SmoothEdges { get; init; }

    /// <summary>How long the shutter is open, s; strobes and moves are integrated over it.</summary>
    public float ShutterSeconds { get; init; } = 1f / 50f;
}
