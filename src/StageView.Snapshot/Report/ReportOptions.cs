namespace StageView.Snapshot.Report;

/// <summary>How a report is written.</summary>
public sealed record ReportOptions
{
    /// <summary>Headline, such as the show's name.</summary>
    public string Title { get; init; } = "Did the show change?";

    /// <summary>Bytes of full-size pictures that the page may hold; further pictures are scaled down.</summary>
    public long PictureBytes { get; init; } = 32L * 1024 * 1024;

    /// <summary>Most frames shown with pictures; the rest is listed in words.</summary>
    public int MostPictures { get; init; } = 400;

    /// <summary>Width of scaled pictures, pixels.</summary>
    public int ScaledWidth { get; init; } = 960;
}
