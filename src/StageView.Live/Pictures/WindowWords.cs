using System.Runtime.InteropServices;
using SkiaSharp;
using StageView.Ground.Fonts;
using StageView.Render.Output;

namespace StageView.Live.Pictures;

/// <summary>A line of words as an opaque picture, to lie over a window's.</summary>
internal static class WindowWords
{
    /// <summary>The page's ground and text colours.</summary>
    private static readonly SKColor s_ground = new(0x16, 0x1a, 0x1d);
    private static readonly SKColor s_text = new(0xef, 0xeb, 0xe2);

    /// <param name="words">One line; what is longer than the room ends with dots.</param>
    /// <param name="size">Of the letters, pixels.</param>
    /// <param name="most">Its widest, pixels.</param>
    /// <param name="whole">Whether it is as wide as it may be, or as its words are.</param>
    public static PixelImage Paint(string words, int size, int most, bool whole)
    {
        using var face = SKTypeface.FromStream(SansFont.Open());
        using var font = new SKFont(face, size);
        var pad = Math.Max(2, size / 2);
        var line = words;
        while (line.Length > 1 && font.MeasureText(line) > most - (2 * pad))
        {
            line = line.TrimEnd('…')[..^1] + "…";
        }

        var width = whole ? most : Math.Clamp((int)Math.Ceiling(font.MeasureText(line)) + (2 * pad), 1, most);
        var height = (int)(size * 1.6);
        using var bitmap = new SKBitmap(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque));
        using (var canvas = new SKCanvas(bitmap))
        using (var paint = new SKPaint { Color = s_text, IsAntialias = true })
        {
            canvas.Clear(s_ground);
            canvas.DrawText(line, pad, height - (size * .5f), SKTextAlign.Left, font, paint);
        }

        var image = new PixelImage(width, height);
        Marshal.Copy(bitmap.GetPixels(), image.Rgba, 0, width * height * 4);
        return image;
    }
}
