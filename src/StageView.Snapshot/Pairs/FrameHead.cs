using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Pairs;

/// <summary>The part of a sidecar that says which frame it is.</summary>
internal sealed record FrameHead
{
    public string Camera { get; init; } = "";

    public double Seconds { get; init; }

    public int? Change { get; init; }

    public string? Part { get; init; }

    public string? Facts { get; init; }

    /// <summary>Empty for bare pictures, and for sidecars that can't be read: whoever reads them in full says why.</summary>
    public static FrameHead Of(FrameEntry entry)
    {
        try
        {
            return entry.SidecarFile is { } file ? SnapshotJson.Read<FrameHead>(file) : new FrameHead();
        }
        catch (SnapshotException)
        {
            return new FrameHead();
        }
    }
}
