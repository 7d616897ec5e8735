namespace StageView.Snapshot.Sets;

/// <param name="Done">Frames answered so far, resumed ones included.</param>
/// <param name="Total">Frames in all.</param>
/// <param name="Resumed">Of those done, answered by an earlier run.</param>
/// <param name="Last">The newest answer.</param>
public sealed record SetProgress(int Done, int Total, int Resumed, FrameResult Last);
