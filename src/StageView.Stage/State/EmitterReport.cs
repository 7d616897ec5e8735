using System.Numerics;

namespace StageView.Stage.State;

/// <summary>What one emitter gives at one instant.</summary>
/// <param name="Name">The geometry's name.</param>
/// <param name="Position">Of the lens, world m.</param>
/// <param name="Direction">Unit vector along the beam.</param>
/// <param name="Intensity">Dimmer × shutter, averaged over the exposure, 0 to 1.</param>
/// <param name="FluxLumens">Leaving the fixture, all prism facets together, lm; of pixels what their surface sends, content on it included.</param>
/// <param name="Chromaticity">CIE 1931 x, y; 0, 0 when dark.</param>
/// <param name="BeamDegrees">Full beam angle after zoom, iris and frost, degrees; 0 without a beam.</param>
/// <param name="Beams">How many beams (prism facets).</param>
/// <param name="Gobo">Name of the gobo image, or empty.</param>
/// <param name="Pixels">Pixels of its grid, 0 without one.</param>
public sealed record EmitterReport(
    string Name, Vector3 Position, Vector3 Direction, float Intensity, float FluxLumens, Vector2 Chromaticity, float BeamDegrees, int Beams, string Gobo,
    int Pixels)
{
    /// <summary>The beam angle along the beam's own +Y, degrees; <see cref="BeamDegrees"/> lies along +X. The same for a round beam.</summary>
    public float BeamDegreesUp { get; init; } = BeamDegrees;

    /// <summary>Mean luminance of the pixels' lit part over the exposure, content included, cd/m²; 0 without pixels.</summary>
    public float PixelLuminance { get; init; }

    /// <summary>The brightest of the pixels, cd/m².</summary>
    public float BrightestPixel { get; init; }

    /// <summary>Flashes a second of a strobe in force, Hz; 0 for none.</summary>
    public float StrobeHertz { get; init; }

    /// <summary>Dimmer × shutter at the instant itself, 0 to 1: what <c>lux</c> and moments without an exposure take. Differs where a strobe beats.</summary>
    public float IntensityNow { get; init; }
}
