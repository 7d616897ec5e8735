using SkiaSharp;
using StageView.Ground.Fonts;

namespace StageView.Render.Aids;

/// <summary>
/// The font of the reading aids, at a size: the one that is carried with the program, its letters drawn as outlines, so that neither the system's way with
/// fonts nor the screen and its settings change a pixel.
/// </summary>
/// <param name="size">Pixels.</param>
internal sealed class AidFont(float size)
{
    // Outlines come out of the file as they are at as many pixels as the font has units: nothing is rounded, whatever reads it.
    private const float Units = 2048;
    private static readonly Lazy<SKFont> s_font = new(() => new SKFont(SKTypeface.FromStream(SansFont.Open()), Units)
    {
        Hinting = SKFontHinting.None, Subpixel = true, LinearMetrics = true,
    });

    /// <summary>Pixels.</summary>
    public float Size => size;

    /// <summary>Width of a line, pixels.</summary>
    public float Width(string text)
    {
        lock (s_font)
        {
            return s_font.Value.MeasureText(text) * size / Units;
        }
    }

    /// <summary>Draws a line; x and y are the left end of its base line.</summary>
    public void Draw(SKCanvas canvas, string text, float x, float y, SKPaint paint)
    {
        canvas.Save();
        canvas.Translate(x, y);
        canvas.Scale(size / Units);
        lock (s_font)
        {
            using var outlines = s_font.Value.GetTextPath(text);
            canvas.DrawPath(outlines, paint);
        }

        canvas.Restore();
    }
}
