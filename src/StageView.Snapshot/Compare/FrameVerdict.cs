namespace StageView.Snapshot.Compare;

/// <summary>The answer for one frame.</summary>
public enum FrameVerdict
{
    /// <summary>Every pixel equal.</summary>
    Identical,

    /// <summary>Different, but by no more than the tolerances allow.</summary>
    WithinTolerance,

    Changed,

    /// <summary>The two are not of one size: nothing else was compared.</summary>
    SizeMismatch,

    /// <summary>Only in the new set.</summary>
    Added,

    /// <summary>Only in the base set.</summary>
    Removed,

    /// <summary>One of the two could not be read.</summary>
    Unreadable,
}
