namespace StageView.Snapshot.Compare;

/// <summary>Whether both frames of a pair come from one renderer.</summary>
public enum RendererMatch
{
    /// <summary>One renderer, one driver, one kind of machine: pixels are the same when the show is.</summary>
    Same,

    /// <summary>Another driver or machine, or another way of the same: rounding, and edges where rays begin and end, are its own.</summary>
    Other,
}
