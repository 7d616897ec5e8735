namespace StageView.Live.Terms;

/// <summary>What came of a wish to draw.</summary>
internal enum DrawOutcome
{
    Drawn,

    /// <summary>Nothing is different.</summary>
    Unchanged,

    /// <summary>More is different than haze that drifts, or the picture was given up: ask again, for speed instead of fineness.</summary>
    Moved,
}
