namespace StageView.Snapshot.Report;

/// <summary>How a report is written.</summary>
public sealed record ReportOptions
{
    /// <summary>Headline, such as the show's name.</summary>
    public string Title { get; init; } = "Did the show change?";

    /// <summary>Bytes of pictures as they are that the page may hold; further ones are scaled down, the whole ones lie beside the page.</summary>
    public long PictureBytes { get; init; } = 4L * 1024 * 1024;

    /// <summary>Bytes of pictures that are scaled down; further frames are told in words, their pictures lie beside the page.</summary>
    public long PreviewBytes { get; init; } = 8L * 1024 * 1024;

    /// <summary>Most frames shown with pictures; the rest is listed in words.</summary>
    public int MostPictures { get; init; } = 400;

    /// <summary>Width of scaled pictures, pixels.</summary>
    public int ScaledWidth { get; init; } = 960;
}
