using System.Numerics;

namespace StageView.Render.Output;

/// <summary>A picture before exposure: linear Rec.709 in cd/m², row by row from the top; components may be negative outside the gamut.</summary>
public sealed class LinearImage
{
    /// <exception cref="ArgumentException"><paramref name="rgb"/> does not hold width × height × 3 values.</exception>
    public LinearImage(int width, int height, float[] rgb)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(height);
        ArgumentNullException.ThrowIfNull(rgb);
        if (rgb.Length != (long)width * height * 3)
        {
            throw new ArgumentException($"{width}x{height} needs {(long)width * height * 3} values, not {rgb.Length}", nameof(rgb));
        }

        (Width, Height, Rgb) = (width, height, rgb);
    }

    public LinearImage(int width, int height)
        : this(width, height, new float[checked(width * height * 3)])
    {
    }

    public int Width { get; }

    public int Height { get; }

    /// <summary>3 × Width × Height values, cd/m².</summary>
    public float[] Rgb { get; }

    public Vector3 this[int x, int y]
    {
        get => new(Rgb.AsSpan(((y * Width) + x) * 3, 3));
        set => value.CopyTo(Rgb.AsSpan(((y * Width) + x) * 3, 3));
    }

    /// <summary>Luminance of one pixel, cd/m² (Rec.709 weights).</summary>
    public float LuminanceAt(int x, int y) => Luminance(this[x, y]);

    /// <summary>Luminance of a linear Rec.709 colour: .2126 R + .7152 G + .0722 B (ITU-R BT.709-6).</summary>
    public static float Luminance(Vector3 rgb) => Vector3.Dot(rgb, new Vector3(0.2126f, 0.7152f, 0.0722f));

    /// <summary>The picture as a screen shows it, each pixel through <paramref name="tone"/>.</summary>
    public PixelImage Develop(ToneCurve tone)
    {
        ArgumentNullException.ThrowIfNull(tone);
        var shown = new PixelImage(Width, Height);
        Parallel.For(0, Height, y =>
        {
            var from = Rgb.AsSpan(y * Width * 3, Width * 3);
            var to = shown.Rgba.AsSpan(y * Width * 4, Width * 4);
            for (var x = 0; x < Width; x++)
            {
                var c = tone.Apply(new Vector3(from.Slice(x * 3, 3)));
                to[x * 4] = Srgb.Encode8(c.X);
                to[(x * 4) + 1] = Srgb.Encode8(c.Y);
                to[(x * 4) + 2] = Srgb.Encode8(c.Z);
                to[(x * 4) + 3] = 255;
            }
        });
        return shown;
    }
}
