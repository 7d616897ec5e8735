namespace StageView.Snapshot.Frames;

/// <summary>Who took a frame as the baseline.</summary>
/// <param name="By">The person or the job.</param>
/// <param name="Why">In their words.</param>
/// <param name="At">When, UTC.</param>
/// <param name="PixelsBefore">Pixel hash of the baseline it took the place of, or null.</param>
/// <param name="RigBefore">SHA-256 of the rig of that baseline, or null.</param>
/// <param name="CaptureBefore">SHA-256 of the capture of that baseline, or null.</param>
public sealed record AcceptRecord(
    string By, string Why, DateTimeOffset At, string? PixelsBefore = null, string? RigBefore = null, string? CaptureBefore = null);
