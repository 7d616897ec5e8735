namespace StageView.Light.Moments;

/// <summary>Transmission of a gobo, square, row by row from the top, 0 (black) to 255 (open) for red, green, blue.</summary>
public sealed record GoboImage
{
    public required string Name { get; init; }

    /// <summary>Pixels a side.</summary>
    public required int Size { get; init; }

    /// <summary>3 × Size × Size bytes, linear transmission.</summary>
    public required byte[] Rgb { get; init; }

    /// <summary>
    /// Mean luminance transmission over the circle inscribed in the square, 0 to 1: about what the gobo leaves of the flux. A beam's flux is that before it:
    /// the intensity through a texel of transmission T is PeakCandela × f(θ) × T.
    /// </summary>
    public required float Transmission { get; init; }
}
