using SkiaSharp;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>Packs pictures; one for each viewer, its memory is used again.</summary>
internal sealed class FrameEncoder : IDisposable
{
    private MemoryStream _out = new();

    /// <summary>Room for the header, then the packed picture; valid until the next call.</summary>
    public unsafe Memory<byte> Encode(Picture picture, QualityRung rung)
    {
        // A picture far larger than those since must not hold its memory all night.
        if (_out.Capacity > 8 << 20)
        {
            _out.Dispose();
            _out = new MemoryStream();
        }

        _out.SetLength(0);
        _out.Write(stackalloc byte[FrameHeader.Length]);
        fixed (byte* pixels = picture.Rgba)
        {
            using var map = new SKPixmap(
                new SKImageInfo(picture.Width, picture.Height, SKColorType.Rgba8888, SKAlphaType.Opaque), (nint)pixels, picture.Width * 4);
            using var stream = new SKManagedWStream(_out);
            var fine = rung.Format switch
            {
                FrameFormat.Jpeg => map.Encode(stream, new SKJpegEncoderOptions(
                    rung.Quality, rung.Quality >= 88 ? SKJpegEncoderDownsample.Downsample444 : SKJpegEncoderDownsample.Downsample420,
                    SKJpegEncoderAlphaOption.Ignore)),
                FrameFormat.WebP => map.Encode(stream, new SKWebpEncoderOptions(SKWebpEncoderCompression.Lossy, rung.Quality)),
                _ => map.Encode(stream, new SKPngEncoderOptions(SKPngEncoderFilterFlags.Sub, 1)),
            };
            if (!fine)
            {
                throw new InvalidOperationException($"a {picture.Width}x{picture.Height} picture could not be packed as {rung.Format}");
            }
        }

        return _out.GetBuffer().AsMemory(0, (int)_out.Length);
    }

    public void Dispose() => _out.Dispose();
}
