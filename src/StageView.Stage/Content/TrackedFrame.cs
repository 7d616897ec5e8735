namespace StageView.Stage.Content;

/// <summary>How far the pixels of a map are from where it thinks they are, at one time.</summary>
/// <param name="Largest">Displacement in the picture's plane, m.</param>
/// <param name="Median">m.</param>
/// <param name="Patch">The patch with the largest, or -1 when nothing moved.</param>
/// <param name="Pitches">The largest in pixel pitches.</param>
/// <param name="Away">Pixels that are turned away.</param>
/// <param name="Missing">Patches whose surface isn't there.</param>
public readonly record struct TrackedFrame(float Largest, float Median, int Patch, float Pitches, int Away, int Missing);
