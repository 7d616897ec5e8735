namespace StageView.Show.Video;

/// <summary>How the frames are encoded.</summary>
public enum VideoQuality
{
    /// <summary>Small: for sending about.</summary>
    Small,

    /// <summary>Good enough to judge a show by.</summary>
    Good,

    /// <summary>Every pixel kept (RGB; few players show it).</summary>
    Lossless,
}
