using SkiaSharp;
using StageView.Ground.Fonts;

namespace StageView.Render.Aids;

/// <summary>
/// The font of the reading aids: DejaVu Sans (Debian's fonts-dejavu-core), from its file, so that text is the same on every machine that has it.
/// </summary>
internal static class AidFont
{
    private static readonly Lazy<SKTypeface> Face = new(Load);

    /// <summary>Grey-scale edges, no hinting, whole-pixel positions: nothing depends on the screen or its settings.</summary>
    /// <exception cref="FileNotFoundException">No usable font on this machine.</exception>
    public static SKFont OfSize(float pixels) => new(Face.Value, pixels)
    {
        Edging = SKFontEdging.Antialias,
        Hinting = SKFontHinting.None,
        Subpixel = false,
    };

    private static SKTypeface Load()
    {
        if (SansFont.File is { } file && SKTypeface.FromFile(file) is { } face)
        {
            return face;
        }

        // Elsewhere the system's own choice: readable, but not the same to the byte.
        var other = SKFontManager.Default.MatchFamily("DejaVu Sans") ?? SKFontManager.Default.MatchCharacter('m');
        return other ?? throw new FileNotFoundException("no font for names and numbers on the picture: install DejaVu Sans (Debian: fonts-dejavu-core)");
    }
}
