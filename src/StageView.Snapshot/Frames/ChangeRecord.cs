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

    /// <summary>A sketch of which channels move, bytes in hexadecimal: the share of equal bytes of two is about the share of channels that both move.</summary>
    public string Shape { get; init; } = "";

    /// <summary>The timecode at its start, or null where there is none.</summary>
    public string? Timecode { get; init; }

    public string Title => Name ?? $"change {Number}";
}
