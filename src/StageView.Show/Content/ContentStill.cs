using SkiaSharp;
using StageView.Rig.Pieces;
using StageView.Stage.Content;

namespace StageView.Show.Content;

/// <summary>A single PNG, JPEG or WebP picture as content; needs no ffmpeg.</summary>
internal sealed class ContentStill(ContentImage image) : IContentFrames
{
    private const long MostPixels = 64L << 20;

    /// <summary>True for files that are read here.</summary>
    public static bool Reads(string path) =>
        !path.Contains('%', StringComparison.Ordinal) && Path.GetExtension(path).ToLowerInvariant() is ".png" or ".jpg" or ".jpeg" or ".webp";

    /// <exception cref="StopException">The file is missing or can't be decoded.</exception>
    public static ContentStill Open(ContentPlacement placement)
    {
        ContentFile.Look(placement);
        using var codec = SKCodec.Create(placement.FullPath)
            ?? throw ContentFile.Wrong(placement, $"{placement.FullPath} is no PNG, JPEG or WebP that can be read");
        var (width, height) = (codec.Info.Width, codec.Info.Height);
        if ((long)width * height > MostPixels)
        {
            throw ContentFile.Wrong(placement, $"{placement.FullPath} is {width}x{height}: make it smaller, pixel surfaces are coarser");
        }

        // Transparent parts are black: premultiplied colours are just that.
        using var bitmap = SKBitmap.Decode(codec, new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Premul, SKColorSpace.CreateSrgb()))
            ?? throw ContentFile.Wrong(placement, $"{placement.FullPath} can't be decoded");
        var pixels = bitmap.GetPixelSpan();
        var rgb = new byte[width * height * 3];
        for (var i = 0; i < width * height; i++)
        {
            pixels.Slice(i * 4, 3).CopyTo(rgb.AsSpan(i * 3));
        }

        return new ContentStill(ContentImage.FromSrgb(width, height, rgb));
    }

    /// <inheritdoc/>
    public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat) => image;
}
