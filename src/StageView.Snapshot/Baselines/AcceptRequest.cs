using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Baselines;

/// <summary>Which new frames become the baseline, and who says so.</summary>
public sealed record AcceptRequest
{
    public required FrameSet New { get; init; }

    public required string BaseFolder { get; init; }

    /// <summary>Names of new frames to take; nothing else is touched.</summary>
    public required IReadOnlyCollection<string> Frames { get; init; }

    /// <summary>Names of frames that only the base has, to take out.</summary>
    public IReadOnlyCollection<string> Remove { get; init; } = [];

    public required string By { get; init; }

    public string Why { get; init; } = "";

    /// <summary>Takes frames of another renderer than the baseline's too.</summary>
    public bool OtherRenderer { get; init; }
}
