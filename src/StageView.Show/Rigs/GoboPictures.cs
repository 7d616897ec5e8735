using SkiaSharp;
using StageView.Rig.Assets;

namespace StageView.Show.Rigs;

/// <summary>Reads gobo image files for the rig loader.</summary>
internal static class GoboPictures
{
    private const int MostPixels = 4096 * 4096;

    /// <inheritdoc cref="ImageDecoder"/>
    public static bool TryDecode(ReadOnlyMemory<byte> file, out int size, out byte[] rgb, out string why)
    {
        size = 0;
        rgb = [];
        why = "";
        using var data = SKData.CreateCopy(file.Span);
        using var codec = SKCodec.Create(data);
        if (codec is null)
        {
            why = "it is no PNG or JPEG that can be read";
            return false;
        }

        if ((long)codec.Info.Width * codec.Info.Height > MostPixels)
        {
            why = $"it has {codec.Info.Width} x {codec.Info.Height} pixels; at most 4096 x 4096 are read";
            return false;
        }

        size = Math.Clamp(Math.Max(codec.Info.Width, codec.Info.Height), 16, 512);
        using var decoded = SKBitmap.Decode(codec,
            new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul, SKColorSpace.CreateSrgb()));
        if (decoded is null)
        {
            why = "its pixels can't be decoded";
            return false;
        }

        using var square = new SKBitmap(new SKImageInfo(size, size, SKColorType.Rgba8888, SKAlphaType.Unpremul));
        if (!decoded.ScalePixels(square, new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear)))
        {
            why = "it can't be scaled";
            return false;
        }

        var pixels = square.GetPixelSpan();
        rgb = new byte[3 * size * size];
        for (var i = 0; i < size * size; i++)
        {
            var alpha = pixels[(4 * i) + 3] / 255.0;
            for (var c = 0; c < 3; c++)
            {
                // A gobo's picture is sRGB; what it lets through is linear. Transparent parts are metal.
                rgb[(3 * i) + c] = (byte)Math.Round(255 * alpha * ToLinear(pixels[(4 * i) + c] / 255.0));
            }
        }

        return true;
    }

    // IEC 61966-2-1.
    private static double ToLinear(double v) => v <= 0.04045 ? v / 12.92 : Math.Pow((v + 0.055) / 1.055, 2.4);
}
