using System.Collections.Concurrent;
using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Rig.Gobos;

/// <summary>Gobos drawn by formula, anti-aliased by 3 × 3 samples a pixel. The formulas take x, y from -1 to 1 (y up) within the unit circle.</summary>
public static class GoboPatterns
{
    private const int Size = 160;

    private static readonly ConcurrentDictionary<string, GoboImage> Made = new(StringComparer.Ordinal);

    private static readonly Vector2[] CrackPoints = [.. Enumerable.Range(0, 17).Select(i =>
    {
        // Sunflower points shaken a little: golden angle, radius by the root of the share.
        var r = MathF.Sqrt((i + .5f) / 17) * 1.05f;
        var a = (i * 2.39996f) + (.7f * Trig.Sin(i * 12.9898f));
        return new Vector2(r * Trig.Cos(a), r * Trig.Sin(a));
    })];

    private static readonly Dictionary<string, Func<float, float, bool>> Patterns = new(StringComparer.Ordinal)
    {
        ["dots"] = Dots,
        ["bars"] = static (x, y) => MathF.Abs(Saw(y * 2.5f)) < .25f,
        ["ring"] = static (x, y) => MathF.Sqrt((x * x) + (y * y)) is > .62f and < .86f,
        ["cracks"] = Cracks,
        ["rays"] = static (x, y) => MathF.Abs(Saw(Trig.Atan2(y, x) * 9 / MathF.Tau)) < .22f && (x * x) + (y * y) > .02f,
        ["window"] = static (x, y) => MathF.Abs(x) < .66f && MathF.Abs(y) < .66f && MathF.Abs(MathF.Abs(x) - .22f) > .035f && MathF.Abs(y) > .035f,
    };

    public static IReadOnlyCollection<string> Names => Patterns.Keys;

    public static bool TryMake(string name, out GoboImage image)
    {
        image = null!;
        if (!Patterns.TryGetValue(name, out var open))
        {
            return false;
        }

        image = Made.GetOrAdd(name, n => Draw(n, open));
        return true;
    }

    private static GoboImage Draw(string name, Func<float, float, bool> open)
    {
        const int Fine = 3;
        var rgb = new byte[Size * Size * 3];
        for (var row = 0; row < Size; row++)
        {
            for (var column = 0; column < Size; column++)
            {
                var hits = 0;
                for (var s = 0; s < Fine * Fine; s++)
                {
                    var x = ((column + (((s % Fine) + .5f) / Fine)) / Size * 2) - 1;
                    var y = 1 - ((row + (((s / Fine) + .5f) / Fine)) / Size * 2);
                    if ((x * x) + (y * y) <= 1 && open(x, y))
                    {
                        hits++;
                    }
                }

                var i = ((row * Size) + column) * 3;
                rgb[i] = rgb[i + 1] = rgb[i + 2] = (byte)(hits * 255 / (Fine * Fine));
            }
        }

        return Of(name, Size, rgb);
    }

    /// <summary>Wraps linear transmissions and works out the mean luminance transmission over the inscribed circle.</summary>
    public static GoboImage Of(string name, int size, byte[] rgb)
    {
        double sum = 0;
        var count = 0;
        for (var row = 0; row < size; row++)
        {
            for (var column = 0; column < size; column++)
            {
                var x = ((column + .5f) / size * 2) - 1;
                var y = ((row + .5f) / size * 2) - 1;
                if ((x * x) + (y * y) > 1)
                {
                    continue;
                }

                var i = ((row * size) + column) * 3;
                sum += Vector3.Dot(new Vector3(rgb[i], rgb[i + 1], rgb[i + 2]) / 255, new Vector3(.2126f, .7152f, .0722f));
                count++;
            }
        }

        return new GoboImage { Name = name, Size = size, Rgb = rgb, Transmission = (float)(sum / Math.Max(1, count)) };
    }

    private static float Saw(float v) => v - MathF.Floor(v) - .5f;

    private static bool Dots(float x, float y)
    {
        // Hexagonal grid, pitch .36, holes of radius .12.
        const float Pitch = .36f;
        const float RowPitch = Pitch * .866f;
        var row = MathF.Round(y / RowPitch);
        for (var r = row - 1; r <= row + 1; r++)
        {
            var shift = ((int)r & 1) == 0 ? 0 : Pitch / 2;
            var cx = (MathF.Round((x - shift) / Pitch) * Pitch) + shift;
            var dx = x - cx;
            var dy = y - (r * RowPitch);
            if ((dx * dx) + (dy * dy) < .0144f)
            {
                return true;
            }
        }

        return false;
    }

    /// <summary>Borders between the cells of scattered points (a Voronoi diagram) left open.</summary>
    private static bool Cracks(float x, float y)
    {
        var at = new Vector2(x, y);
        var nearest = 9f;
        var second = 9f;
        foreach (var p in CrackPoints)
        {
            var d = Vector2.DistanceSquared(at, p);
            if (d < nearest)
            {
                (second, nearest) = (nearest, d);
            }
            else if (d < second)
            {
                second = d;
            }
        }

        return MathF.Sqrt(second) - MathF.Sqrt(nearest) < .075f;
    }
}
