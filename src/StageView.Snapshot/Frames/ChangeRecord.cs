namespace StageView.Snapshot.Frames;

/// <summary>A change found in a capture: a cue, a flash.</summary>
public sealed record ChangeRecord
{
    /// <summary>Its place in the capture, from 1.</summary>
    public required int Number { get; init; }

    /// <summary>The name the cue file gives it, if any.</summary>
    public string? Name { get; init; }

    /// <summary>When levels begin to move, s.</summary>
    public required double Start { get; init; }

    /// <summary>When they have settled, s.</summary>
    public required double Settled { get; init; }

    public bool IsFlash { get; init; }

    /// <summary>A digest of the look it arrives at: equal looks, equal digest.</summary>
    public string Look { get; init; } = "";

    public string Title => Name ?? $"change {Number}";
}
