namespace StageView.Stage;

/// <summary>A named time of a cue file.</summary>
/// <param name="Name">Its name.</param>
/// <param name="At">Show time.</param>
/// <param name="Camera">The camera it looks well from, or empty.</param>
/// <param name="Note">What can be seen.</param>
public sealed record CueTime(string Name, TimeSpan At, string Camera, string Note);
