namespace StageView.Render.Output;

/// <summary>A finished picture: 8-bit sRGB with alpha (255 throughout for frames), row by row from the top.</summary>
public sealed class PixelImage
{
    /// <exception cref="ArgumentException"><paramref name="rgba"/> does not hold width × height × 4 bytes.</exception>
    public PixelImage(int width, int height, byte[] rgba)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(height);
        ArgumentNullException.ThrowIfNull(rgba);
        if (rgba.Length != (long)width * height * 4)
        {
            throw new ArgumentException($"{width}x{height} needs {(long)width * height * 4} bytes, not {rgba.Length}", nameof(rgba));
        }

        (Width, Height, Rgba) = (width, height, rgba);
    }

    public PixelImage(int width, int height)
        : this(width, height, new byte[checked(width * height * 4)])
    {
    }

    public int Width { get; }

    public int Height { get; }

    /// <summary>4 × Width × Height bytes: red, green, blue, alpha.</summary>
    public byte[] Rgba { get; }

    public (byte R, byte G, byte B) this[int x, int y]
    {
        get
        {
            var i = ((y * Width) + x) * 4;
            return (Rgba[i], Rgba[i + 1], Rgba[i + 2]);
        }
    }
}
