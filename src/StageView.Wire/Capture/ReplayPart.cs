namespace StageView.Wire.Capture;

/// <summary>What of a capture is sent, and as whose.</summary>
public sealed record ReplayPart
{
    /// <summary>All of it, once, as it was recorded.</summary>
    public static ReplayPart Whole { get; } = new();

    /// <summary>Where it begins; the levels that every stream had by then are sent first.</summary>
    public TimeSpan From { get; init; }

    /// <summary>Where it ends; null for the capture's end.</summary>
    public TimeSpan? Until { get; init; }

    /// <summary>These universes alone (Art-Net's port-address 0 is universe 1), and timecode; null for all.</summary>
    public IReadOnlySet<int>? Universes { get; init; }

    /// <summary>How often, one after another; 0 for until it is stopped.</summary>
    public int Times { get; init; } = 1;

    /// <summary>1 for its own pace, N for N times faster; above 0.</summary>
    public double Speed { get; init; } = 1;

    /// <summary>E1.31 priority, 0 to 200, in place of the recorded ones; null leaves them.</summary>
    public byte? Priority { get; init; }

    /// <summary>
    /// E1.31 source name, at most 63 bytes of UTF-8, in place of the recorded ones. Each recorded source then has another CID too, the same at every run, so
    /// that receivers don't take it for the desk that was recorded. Null leaves both.
    /// </summary>
    public string? SourceName { get; init; }

    /// <summary>Whether packets are sent as they were recorded.</summary>
    internal bool IsAsRecorded => Priority is null && SourceName is null;
}
