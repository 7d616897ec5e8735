using SkiaSharp;

namespace StageView.App.Tests;

/// <summary>A picture file as numbers.</summary>
internal sealed record PngFile(int Width, int Height, double Mean)
{
    public static PngFile Of(string file)
    {
        using var bitmap = SKBitmap.Decode(file);
        Assert.NotNull(bitmap);
        double sum = 0;
        foreach (var p in bitmap.Pixels)
        {
            sum += p.Red + p.Green + p.Blue;
        }

        return new PngFile(bitmap.Width, bitmap.Height, sum / (3.0 * bitmap.Width * bitmap.Height));
    }
}
