using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Light.Beams;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Volumes;

/// <summary>The largest transmission within any part of a gobo's image, from a pyramid of maxima; made once an image.</summary>
internal sealed class GoboMaxima
{
    private static readonly ConditionalWeakTable<GoboImage, GoboMaxima> Known = [];

    /// <summary>Level by level, each half as wide, three bytes a place.</summary>
    private readonly List<(int Size, byte[] Rgb)> _levels = [];

    private GoboMaxima(GoboImage image)
    {
        _levels.Add((image.Size, image.Rgb));
        while (_levels[^1].Size > 1)
        {
            var (size, rgb) = _levels[^1];
            var next = (size + 1) / 2;
            var most = new byte[3 * next * next];
            for (var y = 0; y < size; y++)
            {
                for (var x = 0; x < size; x++)
                {
                    for (var c = 0; c < 3; c++)
                    {
                        ref var to = ref most[(3 * (((y / 2) * next) + (x / 2))) + c];
                        to = Math.Max(to, rgb[(3 * ((y * size) + x)) + c]);
                    }
                }
            }

            _levels.Add((next, most));
        }
    }

    public static GoboMaxima Of(GoboImage image) => Known.GetValue(image, static i => new GoboMaxima(i));

    /// <summary>Largest transmission by colour within a circle of the image, read between texels as <see cref="GoboSampling"/> does.</summary>
    /// <param name="u">Across, -1 to 1.</param>
    /// <param name="v">Up, -1 to 1.</param>
    /// <param name="radius">In the same units.</param>
    public Vector3 Over(float u, float v, float radius)
    {
        var size = _levels[0].Size;
        var (x, y, r) = ((u + 1) * 0.5f * size, (1 - v) * 0.5f * size, radius * 0.5f * size);
        if (r <= 1)
        {
            return Between(x - 0.5f, y - 0.5f, r);
        }

        r += 1;
        if (!(r < size))
        {
            return Read(_levels.Count - 1, 0, 0, 0, 0);
        }

        int Place(float at) => (int)Math.Clamp(MathF.Floor(at), 0, size - 1);
        var (x0, x1, y0, y1) = (Place(x - r), Place(x + r), Place(y - r), Place(y + r));
        var level = 0;
        while (level < _levels.Count - 1 && ((x1 >> level) - (x0 >> level) > 2 || (y1 >> level) - (y0 >> level) > 2))
        {
            level++;
        }

        return Read(level, x0 >> level, x1 >> level, y0 >> level, y1 >> level);
    }

    /// <summary>
    /// The exact maximum of the bilinear reading over a square: it is taken at a corner of the square, or where its sides or its inside cross the texels'
    /// middles.
    /// </summary>
    private Vector3 Between(float x, float y, float r)
    {
        Span<float> xs = stackalloc float[5];
        Span<float> ys = stackalloc float[5];
        var (nx, ny) = (Stops(x, r, xs), Stops(y, r, ys));
        var most = Vector3.Zero;
        for (var j = 0; j < ny; j++)
        {
            for (var i = 0; i < nx; i++)
            {
                most = Vector3.Max(most, At(xs[i], ys[j]));
            }
        }

        return most;
    }

    private static int Stops(float at, float r, Span<float> stops)
    {
        var n = 0;
        stops[n++] = at - r;
        for (var whole = MathF.Ceiling(at - r); whole < at + r && n < 4; whole++)
        {
            stops[n++] = whole;
        }

        stops[n++] = at + r;
        return n;
    }

    private Vector3 At(float x, float y)
    {
        var (x0, y0) = ((int)MathF.Floor(x), (int)MathF.Floor(y));
        return Vector3.Lerp(Vector3.Lerp(Texel(x0, y0), Texel(x0 + 1, y0), x - x0), Vector3.Lerp(Texel(x0, y0 + 1), Texel(x0 + 1, y0 + 1), x - x0), y - y0);
    }

    private Vector3 Texel(int x, int y)
    {
        var (size, rgb) = _levels[0];
        var at = 3 * ((Math.Clamp(y, 0, size - 1) * size) + Math.Clamp(x, 0, size - 1));
        return new Vector3(rgb[at], rgb[at + 1], rgb[at + 2]) / 255f;
    }

    private Vector3 Read(int level, int x0, int x1, int y0, int y1)
    {
        var (size, rgb) = _levels[level];
        var most = Vector3.Zero;
        for (var y = y0; y <= y1; y++)
        {
            for (var x = x0; x <= x1; x++)
            {
                var at = 3 * ((y * size) + x);
                most = Vector3.Max(most, new Vector3(rgb[at], rgb[at + 1], rgb[at + 2]));
            }
        }

        return most / 255f;
    }
}
