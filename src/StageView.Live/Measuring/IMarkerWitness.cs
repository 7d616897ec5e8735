namespace StageView.Live.Measuring;

/// <summary>Is told when the marker's level was seen in pixels that someone looks at.</summary>
internal interface IMarkerWitness
{
    /// <param name="level">As read out of the picture.</param>
    /// <param name="agoMs">How long ago, at the least, the page saw it: half a round trip, ms.</param>
    void SeenOnPage(int level, double agoMs);
}
