using StageView.Show.Frames;
using StageView.Snapshot.Compare;

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

    /// <summary>Null for that of the frames in <see cref="Against"/>, else the usual.</summary>
    public FrameSize? Size { get; init; }

    /// <summary>Whether the live inputs are opened that the rig names as content.</summary>
    public bool Inputs { get; init; }

    /// <summary>How fine it is drawn; null for that of the frames in <see cref="Against"/>, else normal.</summary>
    public string? Detail { get; init; }

    /// <summary>A folder whose pictures are taken over where nothing that they are drawn from changed, or null.</summary>
    public string? Against { get; init; }

    /// <summary>Whether every frame is drawn, whatever was drawn before.</summary>
    public bool All { get; init; }

    /// <summary>What the frames will be compared with, where the record shall say so: with those of another driver or machine.</summary>
    public RendererMatch? Renderer { get; init; }

    public required string Out { get; init; }

    public int Shard { get; init; } = 1;

    public int Shards { get; init; } = 1;
}
