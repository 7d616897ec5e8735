using SkiaSharp;
using StageView.Snapshot.Files;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Report;

/// <summary>Pictures for the page: as they are while they fit, scaled down once they don't; the whole ones then lie beside it.</summary>
/// <param name="options">How much the page may hold.</param>
/// <param name="folder">The page's folder.</param>
internal sealed class ReportPictures(ReportOptions options, string folder)
{
    /// <summary>Folder of the whole pictures, in the page's.</summary>
    public const string Folder = "pictures";

    private long _left = options.PictureBytes;
    private long _previews = options.PreviewBytes;

    /// <param name="file">The picture.</param>
    /// <param name="name">What its whole file beside the page is called, without extension.</param>
    /// <param name="type">Its media type in the page.</param>
    /// <param name="bytes">As it is in the page.</param>
    /// <param name="beside">Its whole file from the page's folder, where the page has it scaled down or not at all; else null.</param>
    /// <returns>Whether the page shows it.</returns>
    public bool TryEncode(string file, string name, out string type, out byte[] bytes, out string? beside)
    {
        beside = null;
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

            beside = $"{Folder}/{name}{Path.GetExtension(file)}";
            FrameFile.SaveBytes(bytes, Path.Combine(folder, beside));
            if (_previews <= 0)
            {
                return false;
            }

            type = "image/webp";
            bytes = Scale(FrameFile.Decode(bytes, file));
            _previews -= bytes.Length;
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
                using var data = scaled!.Encode(SKEncodedImageFormat.Webp, 80)!;
                return data.ToArray();
            }
        }
    }
}
