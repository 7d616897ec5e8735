namespace StageView.Snapshot.Compare;

/// <summary>What a faint change over an area did.</summary>
public enum AreaChangeKind
{
    Brighter,
    Darker,

    /// <summary>Another colour at much the same brightness.</summary>
    Tinted,

    /// <summary>What is seen there lies elsewhere by a little.</summary>
    Moved,

    /// <summary>Light went from one side of it to another; how far its beam moved can't be told.</summary>
    Shifted,
}
