using StageView.Ground.Words;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Sets;

/// <summary>The answer for two sets of frames.</summary>
public sealed record SetResult
{
    public required string BaseFolder { get; init; }

    public required string NewFolder { get; init; }

    /// <summary>By name, in order.</summary>
    public required IReadOnlyList<FrameResult> Frames { get; init; }

    /// <summary>What differs between the two runs as a whole.</summary>
    public IReadOnlyList<Cause> Causes { get; init; } = [];

    /// <summary>Why the answer is of a part only: frames that a set should hold and doesn't.</summary>
    public IReadOnlyList<string> Doubts { get; init; } = [];

    public int Resumed { get; init; }

    public bool IsDifference => Frames.Any(f => f.IsDifference);

    public int Count(FrameVerdict verdict) => Frames.Count(f => f.Verdict == verdict);

    /// <summary>How many of each verdict there are, in one line.</summary>
    public string Summary()
    {
        (FrameVerdict Verdict, string Words)[] all =
        [
            (FrameVerdict.Identical, "identical"), (FrameVerdict.WithinTolerance, "within tolerance"), (FrameVerdict.Changed, "changed"),
            (FrameVerdict.SizeMismatch, "of another size"), (FrameVerdict.Added, "added"), (FrameVerdict.Removed, "removed"),
            (FrameVerdict.Unreadable, "unreadable"),
        ];
        var parts = all.Where(v => Count(v.Verdict) > 0).Select(v => $"{Count(v.Verdict)} {v.Words}");
        return $"{Counted.Of(Frames.Count, "frame")}: {string.Join(", ", parts.DefaultIfEmpty("nothing to compare"))}";
    }
}
