using StageView.Show.Frames;

namespace StageView.Show.Snap;

/// <summary>What <c>snap</c> was asked for.</summary>
public sealed record SnapRequest
{
    public required string Rig { get; init; }

    /// <summary>A venue file laid over the rig, or null.</summary>
    public string? Venue { get; init; }

    public required string Capture { get; init; }

    public IReadOnlyList<string> Times { get; init; } = [];

    public bool Cues { get; init; }

    /// <summary>Seconds between frames, or null.</summary>
    public double? Every { get; init; }

    public IReadOnlyList<string> Cameras { get; init; } = [];

    public FrameSize Size { get; init; } = FrameSize.Default;

    public required string Out { get; init; }

    public int Shard { get; init; } = 1;

    public int Shards { get; init; } = 1;
}
