using StageView.Snapshot.Images;

namespace StageView.Snapshot.Frames;

/// <summary>What lies beside a frame's picture: where it came from, what was lit, and what it covered. Plain data, filled in by whoever renders.</summary>
public sealed record FrameSidecar
{
    public const string FormatNow = "stageview-frame/1";

    /// <summary>End of a sidecar's file name.</summary>
    public const string Extension = ".frame.json";

    public string Format { get; init; } = FormatNow;

    /// <summary>Name of the frame, unique in its set; slashes for subfolders.</summary>
    public required string Frame { get; init; }

    /// <summary>The picture's file, relative to the sidecar.</summary>
    public required string Image { get; init; }

    /// <summary>What the picture shows: see <see cref="PixelHash"/>.</summary>
    public required string Pixels { get; init; }

    public required int Width { get; init; }

    public required int Height { get; init; }

    public string Camera { get; init; } = "";

    /// <summary>Show time since the capture began, s.</summary>
    public double Seconds { get; init; }

    public string? Timecode { get; init; }

    /// <summary>Number of the change in <see cref="SetFacts.Changes"/> it shows, 0 for the look before the first; null for a time that was asked for.</summary>
    public int? Change { get; init; }

    /// <summary>What of the change it shows: halfway, settled, flash.</summary>
    public string? Part { get; init; }

    /// <summary>Why this moment: asked for, at an interval, or found (before a change, settled after it, a flash).</summary>
    public string Moment { get; init; } = "asked for";

    /// <summary>What drew it, as the driver names itself: a baseline is valid for one renderer.</summary>
    public string Renderer { get; init; } = "";

    public string Driver { get; init; } = "";

    /// <summary>How fine it was drawn; null for the usual.</summary>
    public string? Detail { get; init; }

    /// <summary>A digest of all that the picture was drawn from; frames of one digest have the same pixels. Null where nothing says it.</summary>
    public string? State { get; init; }

    /// <summary>What may differ in this frame, where the rig said so.</summary>
    public TolerancePart? Tolerance { get; init; }

    public FileStamp? Rig { get; init; }

    public FileStamp? Capture { get; init; }

    /// <summary>File with the rig's facts and the capture's changes, relative to the sidecar; see <see cref="SetFacts"/>.</summary>
    public string? Facts { get; init; }

    /// <summary>Every fixture that is lit or moving.</summary>
    public IReadOnlyList<FixtureRecord> Fixtures { get; init; } = [];

    /// <summary>Scenery and mirrors that are seen, the largest first.</summary>
    public IReadOnlyList<PieceRecord> Pieces { get; init; } = [];

    /// <summary>Who took it as the baseline, and when.</summary>
    public AcceptRecord? Accepted { get; init; }
}
