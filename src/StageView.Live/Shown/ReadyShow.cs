using StageView.Show.Sources;

namespace StageView.Live.Shown;

/// <summary>A capture's show that was brought to a time beside the one that is shown.</summary>
/// <param name="Show">The show; whoever takes it disposes it.</param>
/// <param name="At">Up to where it was fed, s from the capture's start.</param>
internal sealed record ReadyShow(CaptureShow Show, double At);
