using System.Numerics;

namespace StageView.Stage.Content;

/// <summary>
/// One frame of content as linear light (Rec.709, 1 for full white), with smaller copies of it, each half the size of the one before, from
/// which areas are averaged in time that does not depend on their size.
/// </summary>
public sealed class ContentImage
{
    private static readonly float[] Linear = MakeLinear();
    private readonly Level[] _levels;

    private ContentImage(Level[] levels) => _levels = levels;

    public int Width => _levels[0].Width;

    public int Height => _levels[0].Height;

    /// <param name="width">Pixels, at least 1.</param>
    /// <param name="height">Pixels, at least 1.</param>
    /// <param name="rgb">3 bytes a pixel, sRGB, row by row from the top.</param>
    public static ContentImage FromSrgb(int width, int height, ReadOnlySpan<byte> rgb)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(height);
        if (rgb.Length != (long)width * height * 3)
        {
            throw new ArgumentException($"{width}x{height} needs {(long)width * height * 3} bytes, not {rgb.Length}", nameof(rgb));
        }

        var first = new Vector3[width * height];
        for (var i = 0; i < first.Length; i++)
        {
            first[i] = new(Linear[rgb[i * 3]], Linear[rgb[(i * 3) + 1]], Linear[rgb[(i * 3) + 2]]);
        }

        var levels = new List<Level> { new(width, height, width, height, first) };
        while (levels[^1].Width > 1 || levels[^1].Height > 1)
        {
            levels.Add(levels[^1].Half());
        }

        return new ContentImage([.. levels]);
    }

    /// <summary>
    /// Mean over the rectangle from (<paramref name="u0"/>, <paramref name="v0"/>) to (<paramref name="u1"/>, <paramref name="v1"/>), 0 to 1
    /// over the content from its top left; what lies outside the content counts as black.
    /// </summary>
    public Vector3 Mean(float u0, float v0, float u1, float v1)
    {
        var (x0, x1, y0, y1) = (u0 * Width, u1 * Width, v0 * Height, v1 * Height);
        Widen(ref x0, ref x1);
        Widen(ref y0, ref y1);
        if (!(x1 > 0) || !(y1 > 0) || !(x0 < Width) || !(y0 < Height))
        {
            return Vector3.Zero;
        }

        // At least four pixels of the chosen level a side, so that its whole pixels carry nearly all of the area.
        var level = 0;
        while (level + 1 < _levels.Length && MathF.Min(x1 - x0, y1 - y0) >= 8)
        {
            level++;
            (x0, x1, y0, y1) = (x0 * 0.5f, x1 * 0.5f, y0 * 0.5f, y1 * 0.5f);
        }

        return _levels[level].Sum(x0, y0, x1, y1) / ((x1 - x0) * (y1 - y0));
    }

    // A surface that the content meets edge on still covers something.
    private static void Widen(ref float a, ref float b)
    {
        if (b - a < 2e-3f)
        {
            var middle = 0.5f * (a + b);
            (a, b) = (middle - 1e-3f, middle + 1e-3f);
        }
    }

    private static float[] MakeLinear()
    {
        // IEC 61966-2-1.
        var table = new float[256];
        for (var i = 0; i < 256; i++)
        {
            var e = i / 255.0;
            table[i] = (float)(e <= 0.04045 ? e / 12.92 : Math.Pow((e + 0.055) / 1.055, 2.4));
        }

        return table;
    }

    /// <summary>One size. The last column and row may cover less than a whole pixel: the level ends at (<see cref="Right"/>, <see cref="Bottom"/>).</summary>
    private sealed record Level(int Width, int Height, float Right, float Bottom, Vector3[] Pixels)
    {
        public Level Half()
        {
            var (w, h) = ((Width + 1) / 2, (Height + 1) / 2);
            var smaller = new Vector3[w * h];
            for (var y = 0; y < h; y++)
            {
                for (var x = 0; x < w; x++)
                {
                    var sum = Vector3.Zero;
                    var area = 0f;
                    for (var k = 0; k < 4; k++)
                    {
                        var (sx, sy) = ((x * 2) + (k & 1), (y * 2) + (k >> 1));
                        if (sx < Width && sy < Height)
                        {
                            var a = MathF.Min(1, Right - sx) * MathF.Min(1, Bottom - sy);
                            sum += Pixels[(sy * Width) + sx] * a;
                            area += a;
                        }
                    }

                    smaller[(y * w) + x] = sum / area;
                }
            }

            return new Level(w, h, Right * 0.5f, Bottom * 0.5f, smaller);
        }

        /// <summary>Light times area over a rectangle in this level's pixels.</summary>
        public Vector3 Sum(float x0, float y0, float x1, float y1)
        {
            (x0, y0, x1, y1) = (MathF.Max(0, x0), MathF.Max(0, y0), MathF.Min(Right, x1), MathF.Min(Bottom, y1));
            var sum = Vector3.Zero;
            for (var y = (int)y0; y < y1; y++)
            {
                var high = MathF.Min(y + 1, y1) - MathF.Max(y, y0);
                var row = Vector3.Zero;
                for (var x = (int)x0; x < x1; x++)
                {
                    row += Pixels[(y * Width) + x] * (MathF.Min(x + 1, x1) - MathF.Max(x, x0));
                }

                sum += row * high;
            }

            return sum;
        }
    }
}
