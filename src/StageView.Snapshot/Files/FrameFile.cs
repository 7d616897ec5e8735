using SkiaSharp;
using StageView.Ground.Files;
using StageView.Snapshot.Images;
using StageView.Snapshot.Images.Png;

namespace StageView.Snapshot.Files;

/// <summary>Pictures from and to files.</summary>
public static class FrameFile
{
    private const long MaxFileBytes = 512L * 1024 * 1024;

    /// <exception cref="SnapshotException">The file is missing, too large, or no picture.</exception>
    public static FrameImage Load(string path) => Decode(ReadBytes(path), path);

    /// <exception cref="SnapshotException">The file is missing or too large.</exception>
    public static byte[] ReadBytes(string path)
    {
        ArgumentNullException.ThrowIfNull(path);
        try
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read, bufferSize: 1);
            if (file.Length > MaxFileBytes)
            {
                throw new SnapshotException($"{path}: {file.Length} bytes are more than the {MaxFileBytes} that a picture may have");
            }

            var bytes = GC.AllocateUninitializedArray<byte>((int)file.Length);
            file.ReadExactly(bytes);
            return bytes;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new SnapshotException($"{path}: can't be read: {e.Message}", e);
        }
    }

    /// <param name="bytes">A whole picture file: PNG, JPEG, WebP.</param>
    /// <param name="name">What messages call it.</param>
    public static FrameImage Decode(byte[] bytes, string name)
    {
        ArgumentNullException.ThrowIfNull(bytes);
        if (StoragePointer.Is(bytes))
        {
            throw new SnapshotException($"{name}: {StoragePointer.Told}");
        }

        Check(bytes, name);
        return PngReader.TryDecode(bytes) ?? DecodeAny(bytes, name);
    }

    /// <exception cref="SnapshotException">A PNG is not as it was written.</exception>
    internal static void Check(byte[] bytes, string name)
    {
        if (PngChecks.Wrong(bytes) is { } wrong)
        {
            throw new SnapshotException($"{name}: is a damaged picture ({wrong}): render or copy it again");
        }
    }

    /// <summary>By the library alone.</summary>
    internal static FrameImage DecodeAny(byte[] bytes, string name)
    {
        using var data = SKData.CreateCopy(bytes);
        using var codec = SKCodec.Create(data);
        if (codec is null || !FrameImage.IsValidSize(codec.Info.Width, codec.Info.Height))
        {
            throw new SnapshotException(
                $"{name}: is no picture that can be read (at most {FrameImage.MaxSide} pixels a side and "
                + $"{FrameImage.MaxPixels} in all); write it again as a PNG");
        }

        var info = new SKImageInfo(codec.Info.Width, codec.Info.Height, SKColorType.Rgba8888, SKAlphaType.Unpremul);
        var rgba = GC.AllocateUninitializedArray<byte>(info.BytesSize);
        SKCodecResult result;
        unsafe
        {
            fixed (byte* to = rgba)
            {
                result = codec.GetPixels(info, (IntPtr)to);
            }
        }

        return result == SKCodecResult.Success
            ? new FrameImage(info.Width, info.Height, rgba)
            : throw new SnapshotException($"{name}: is a damaged picture ({result}): render or copy it again");
    }

    /// <summary>A PNG that carries its pixel hash.</summary>
    public static byte[] Encode(FrameImage image, PngPacking packing = PngPacking.Usual) => Encode(image, PixelHash.Of(image), packing);

    /// <summary>The same when the hash is known already.</summary>
    public static byte[] Encode(FrameImage image, PixelHash hash, PngPacking packing = PngPacking.Usual)
    {
        ArgumentNullException.ThrowIfNull(image);
        return Pack(image, packing, data => PngStamp.Add(data, hash));
    }

    /// <summary>A PNG without a hash, for pictures that nothing is compared with.</summary>
    internal static byte[] EncodePlain(FrameImage image, PngPacking packing) => Pack(image, packing, data => data.ToArray());

    private static byte[] Pack(FrameImage image, PngPacking packing, Func<ReadOnlySpan<byte>, byte[]> finish)
    {
        var opaque = IsOpaque(image);
        var info = new SKImageInfo(image.Width, image.Height, SKColorType.Rgba8888, opaque ? SKAlphaType.Opaque : SKAlphaType.Unpremul);
        var options = packing switch
        {
            PngPacking.Quick => new SKPngEncoderOptions(SKPngEncoderFilterFlags.Up, 1),
            PngPacking.Smallest => new SKPngEncoderOptions(SKPngEncoderFilterFlags.AllFilters, 9),
            _ => new SKPngEncoderOptions(SKPngEncoderFilterFlags.AllFilters, 6),
        };
        unsafe
        {
            fixed (byte* pixels = image.Rgba)
            {
                using var pixmap = new SKPixmap(info, (IntPtr)pixels, info.RowBytes);
                using var data = pixmap.Encode(options)!;
                return finish(data.AsSpan());
            }
        }
    }

    /// <summary>Writes a PNG beside its place and moves it there, so that a stopped run leaves no half file.</summary>
    public static void Save(FrameImage image, string path) => SaveBytes(Encode(image), path);

    public static void SaveBytes(byte[] bytes, string path)
    {
        var full = Path.GetFullPath(path);
        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        WholeFile.Write(full, bytes);
    }

    /// <summary>The pixel hash that a PNG of ours carries, if its pixels are still the ones stamped; no decoding.</summary>
    public static bool TryStampedHash(ReadOnlySpan<byte> bytes, out PixelHash hash) => PngStamp.TryRead(bytes, out hash);

    private static bool IsOpaque(FrameImage image)
    {
        foreach (var pixel in System.Runtime.InteropServices.MemoryMarshal.Cast<byte, uint>(image.Rgba.AsSpan()))
        {
            if (pixel < 0xFF00_0000u)
            {
                return false;
            }
        }

        return true;
    }
}
