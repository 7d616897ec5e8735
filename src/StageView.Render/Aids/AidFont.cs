using SkiaSharp;
using StageView.Ground.Fonts;

namespace StageView.Render.Aids;

/// <summary>The font of the reading aids: the one that is carried with the program.</summary>
internal static class AidFont
{
    private static readonly Lazy<SKTypeface> Face = new(() => SKTypeface.FromStream(SansFont.Open()));

    /// <summary>Grey-scale edges, no hinting, whole-pixel positions: nothing depends on the screen or its settings.</summary>
    public static SKFont OfSize(float pixels) => new(Face.Value, pixels)
    {
        Edging = SKFontEdging.Antialias,
        Hinting = SKFontHinting.None,
        Subpixel = false,
    };
}
