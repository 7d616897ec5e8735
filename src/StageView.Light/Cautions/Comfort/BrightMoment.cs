namespace StageView.Light.Cautions.Comfort;

/// <summary>One moment at a place.</summary>
/// <param name="Seconds">When, s.</param>
/// <param name="Lux">Illuminance of the plane across the gaze, lx.</param>
/// <param name="BrightestCandela">Mean luminance of the brightest cell of the field, cd/m²: a small source is far brighter than its cell.</param>
/// <param name="MeanCandela">Mean luminance of the field, cd/m².</param>
public readonly record struct BrightMoment(double Seconds, double Lux, double BrightestCandela, double MeanCandela);
