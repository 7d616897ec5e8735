namespace StageView.Snapshot.Compare;

/// <summary>What became of one pixel.</summary>
public enum PixelChange : byte
{
    /// <summary>Equal, or within the tolerance.</summary>
    Same,

    /// <summary>Over the tolerance, but jitter of an edge that stayed where it was.</summary>
    EdgeJitter,

    /// <summary>Over the tolerance.</summary>
    Changed,

    /// <summary>Within the tolerance itself, in an area whose mean or structure is another.</summary>
    Faint,

    /// <summary>Not compared.</summary>
    Ignored,
}
