namespace StageView.Snapshot.Images;

/// <summary>A picture in memory: sRGB, 8 bits a channel, red green blue alpha, row by row from the top, no padding.</summary>
public sealed class FrameImage
{
    /// <summary>Longest side that is read or written, pixels.</summary>
    public const int MaxSide = 16384;

    /// <summary>Most pixels in a picture: 64 million (256 MB).</summary>
    public const int MaxPixels = 64_000_000;

    /// <param name="width">1 to <see cref="MaxSide"/>.</param>
    /// <param name="height">1 to <see cref="MaxSide"/>.</param>
    /// <param name="rgba">4 × width × height bytes, kept, not copied.</param>
    public FrameImage(int width, int height, byte[] rgba)
    {
        ArgumentNullException.ThrowIfNull(rgba);
        if (!IsValidSize(width, height) || rgba.Length != 4 * width * height)
        {
            throw new ArgumentException($"{width}x{height} pixels don't fit {rgba.Length} bytes");
        }

        (Width, Height, Rgba) = (width, height, rgba);
    }

    /// <summary>An opaque black picture.</summary>
    public FrameImage(int width, int height)
        : this(width, height, new byte[4 * width * height])
    {
        System.Runtime.InteropServices.MemoryMarshal.Cast<byte, uint>(Rgba.AsSpan()).Fill(0xFF00_0000u);
    }

    public int Width { get; }

    public int Height { get; }

    public byte[] Rgba { get; }

    public int PixelCount => Width * Height;

    public static bool IsValidSize(long width, long height) =>
        width is >= 1 and <= MaxSide && height is >= 1 and <= MaxSide && width * height <= MaxPixels;

    /// <summary>The four bytes of one pixel.</summary>
    public Span<byte> At(int x, int y) => Rgba.AsSpan(4 * ((y * Width) + x), 4);

    public void Set(int x, int y, byte r, byte g, byte b)
    {
        var p = At(x, y);
        (p[0], p[1], p[2], p[3]) = (r, g, b, 255);
    }

    public FrameImage Clone() => new(Width, Height, (byte[])Rgba.Clone());
}
