using SkiaSharp;
using StageView.Snapshot.Files;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Report;

/// <summary>Pictures for the page: as they are while they fit, scaled down once they don't.</summary>
internal sealed class ReportPictures(ReportOptions options)
{
    private long _left = options.PictureBytes;

    public bool TryEncode(string file, out string type, out byte[] bytes)
    {
        (type, bytes) = ("image/png", []);
        try
        {
            bytes = FrameFile.ReadBytes(file);
            if (bytes.Length <= _left)
            {
                _left -= bytes.Length;
                type = Path.GetExtension(file).ToLowerInvariant() switch { ".jpg" or ".jpeg" => "image/jpeg", ".webp" => "image/webp", _ => "image/png" };
                return true;
            }

            type = "image/webp";
            bytes = Scale(FrameFile.Decode(bytes, file));
            return true;
        }
        catch (SnapshotException)
        {
            // A picture that can't be read is said to be so in the frame's words.
            return false;
        }
    }

    private byte[] Scale(FrameImage image)
    {
        var info = new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        var width = Math.Min(options.ScaledWidth, image.Width);
        var height = Math.Max(1, (int)Math.Round((double)image.Height * width / image.Width));
        unsafe
        {
            fixed (byte* pixels = image.Rgba)
            {
                using var bitmap = new SKBitmap();
                bitmap.InstallPixels(info, (IntPtr)pixels);
                using var scaled = bitmap.Resize(new SKImageInfo(width, height, SKColorType.Rgba8888, SKAlphaType.Unpremul),
                    new SKSamplingOptions(SKFilterMode.Linear, SKMipmapMode.Linear));
                using var data = scaled!.Encode(SKEncodedImageFormat.Webp, 88)!;
                return data.ToArray();
            }
        }
    }
}
