using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Light.Grids;

/// <summary>Lines of equal illuminance on a map, by marching squares.</summary>
public static class Isolux
{
    /// <summary>Pieces of the line at one level, in grid units (column, row); saddles are parted by the mean of the four corners.</summary>
    public static IReadOnlyList<(Vector2 From, Vector2 To)> Line(LuxMap map, float level)
    {
        ArgumentNullException.ThrowIfNull(map);
        var (w, h) = (map.Grid.CountU, map.Grid.CountV);
        var lines = new List<(Vector2, Vector2)>();
        Span<Vector2> cut = stackalloc Vector2[4];
        for (var y = 0; y + 1 < h; y++)
        {
            for (var x = 0; x + 1 < w; x++)
            {
                float a = map.Lux[(y * w) + x], b = map.Lux[(y * w) + x + 1], c = map.Lux[((y + 1) * w) + x + 1], d = map.Lux[((y + 1) * w) + x];
                var count = 0;
                Cross(a, b, new(x, y), new(x + 1, y), level, cut, ref count);
                Cross(b, c, new(x + 1, y), new(x + 1, y + 1), level, cut, ref count);
                Cross(c, d, new(x + 1, y + 1), new(x, y + 1), level, cut, ref count);
                Cross(d, a, new(x, y + 1), new(x, y), level, cut, ref count);
                if (count == 2)
                {
                    lines.Add((cut[0], cut[1]));
                }
                else if (count == 4)
                {
                    var together = (a >= level) == ((a + b + c + d) / 4 >= level);
                    lines.Add(together ? (cut[0], cut[1]) : (cut[3], cut[0]));
                    lines.Add(together ? (cut[2], cut[3]) : (cut[1], cut[2]));
                }
            }
        }

        return lines;
    }

    /// <summary>
    /// Round levels (1, 2, 5 times a power of ten) between the map's ends, at most <paramref name="most"/> and none below a fortieth of the maximum: lines
    /// round a shadow's edge would lie on each other.
    /// </summary>
    public static IReadOnlyList<float> Levels(LuxMap map, int most = 8)
    {
        ArgumentNullException.ThrowIfNull(map);
        var levels = new List<float>();
        if (map.Maximum <= 0)
        {
            return levels;
        }

        for (var decade = MathF.Pow(10, MathF.Floor(Trig.Log10((float)map.Maximum))); levels.Count < most && decade > 1e-3; decade /= 10)
        {
            foreach (var step in (ReadOnlySpan<float>)[5, 2, 1])
            {
                var level = step * decade;
                if (level < map.Maximum && level > map.Minimum && level >= map.Maximum / 40 && levels.Count < most)
                {
                    levels.Add(level);
                }
            }
        }

        return levels;
    }

    private static void Cross(float a, float b, Vector2 pa, Vector2 pb, float level, Span<Vector2> cut, ref int count)
    {
        if (a >= level != b >= level)
        {
            cut[count++] = Vector2.Lerp(pa, pb, (level - a) / (b - a));
        }
    }
}
