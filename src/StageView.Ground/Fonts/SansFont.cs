namespace StageView.Ground.Fonts;

/// <summary>Where systems keep DejaVu Sans, the font of pictures and paper: from its file, so that text is the same on every machine that has it.</summary>
public static class SansFont
{
    private static readonly string[] Places =
    [
        "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
        "/usr/share/fonts/dejavu-sans-fonts/DejaVuSans.ttf",
        "/usr/share/fonts/TTF/DejaVuSans.ttf",
        "/usr/local/share/fonts/DejaVuSans.ttf",
        "/Library/Fonts/DejaVuSans.ttf",
    ];

    /// <summary>The first of them that is there, or null.</summary>
    public static string? File { get; } = Array.Find(Places, System.IO.File.Exists);
}
