namespace StageView.Snapshot.Compare;

/// <summary>What decides whether a pixel changed.</summary>
public enum CompareMode
{
    /// <summary>The largest difference of any channel, in levels of 255. Sees in the dark; the default.</summary>
    Levels,

    /// <summary>What an eye would tell apart at arm's length: OKLab distance after a small blur. For bright plots and prints, on request.</summary>
    Perceptual,
}
