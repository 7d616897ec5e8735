using SkiaSharp;
using StageView.Ground.Files;

namespace StageView.Render.Output;

/// <summary>8-bit sRGB PNG through SkiaSharp.</summary>
public static class PngPicture
{
    /// <summary>The picture as a PNG file. Fast by default: one row filter, lowest deflate effort; small tries all filters at full effort.</summary>
    public static byte[] Encode(PixelImage image, bool small = false)
    {
        ArgumentNullException.ThrowIfNull(image);
        using var pixmap = Pin(image, out var bitmap);
        using (bitmap)
        {
            var options = small
                ? new SKPngEncoderOptions(SKPngEncoderFilterFlags.AllFilters, 9)
                : new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 1);
            using var data = pixmap.Encode(options) ?? throw new InvalidOperationException("SkiaSharp wrote no PNG");
            return data.ToArray();
        }
    }

    /// <summary>Writes the PNG through a neighbouring temporary file, so that the path never holds half a picture.</summary>
    public static void Write(string path, PixelImage image, bool small = false) => WholeFile.Write(path, Encode(image, small));

    private static SKPixmap Pin(PixelImage image, out SKBitmap bitmap)
    {
        bitmap = new SKBitmap(new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, SKAlphaType.Opaque, SKColorSpace.CreateSrgb()));
        image.Rgba.CopyTo(bitmap.GetPixelSpan());
        return bitmap.PeekPixels();
    }
}
