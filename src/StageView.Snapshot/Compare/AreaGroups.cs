using System.Runtime.Intrinsics;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>Puts marked blocks that touch together and tells what became of each such area.</summary>
internal sealed class AreaGroups(FrameImage before, FrameImage after, BlockSums sums, ChangeMap map, AreaTest test, AreaMark[] marks)
{
    /// <summary>The largest areas are told; a frame full of small ones is told by its picture.</summary>
    private const int Most = 3;

    /// <summary>How far what got brighter may outweigh what got darker when light went from one to the other, share of both.</summary>
    private const double MostUneven = 0.3;

    public IReadOnlyList<AreaChange> Find()
    {
        // The flanks of a wide beam that moved are two areas, one brighter, one darker: all of them together tell.
        var all = Enumerable.Range(0, marks.Length).Where(i => marks[i] != AreaMark.None).ToList();
        if (all.Count == 0)
        {
            return [];
        }

        if (Shift(all) is not null)
        {
            return [Tell(all)];
        }

        if (Swap(all) is { } swap)
        {
            return [Tell(all) with { Kind = AreaChangeKind.Shifted, Right = swap.Right, Down = swap.Down }];
        }

        var seen = new bool[marks.Length];
        var groups = new List<List<int>>();
        for (var i = 0; i < marks.Length; i++)
        {
            if (marks[i] != AreaMark.None && !seen[i])
            {
                groups.Add(Spread(i, seen));
            }
        }

        return [.. groups.OrderByDescending(g => g.Count).Take(Most).Select(Tell)];
    }

    private List<int> Spread(int first, bool[] seen)
    {
        var (group, next) = (new List<int>(), new Stack<int>([first]));
        seen[first] = true;
        while (next.TryPop(out var i))
        {
            group.Add(i);
            var (column, row) = (i % sums.Columns, i / sums.Columns);
            foreach (var (u, v) in new[] { (column - 1, row), (column + 1, row), (column, row - 1), (column, row + 1) })
            {
                var k = (v * sums.Columns) + u;
                if (u >= 0 && v >= 0 && u < sums.Columns && v < sums.Rows && !seen[k] && marks[k] != AreaMark.None)
                {
                    seen[k] = true;
                    next.Push(k);
                }
            }
        }

        return group;
    }

    /// <summary>How far these blocks and those round them moved, or null when they did something else.</summary>
    private (double Right, double Down)? Shift(List<int> blocks)
    {
        var around = blocks.SelectMany(i => Near(i % sums.Columns, i / sums.Columns)).Distinct();
        return new AreaShift(before, after, map).Of(around.Select(i => (test.Left(i), test.Top(i))));
    }

    /// <summary>
    /// From where it got darker to where it got brighter by as much, in pixels between the middles; null when one outweighs the other. A beam that moved in
    /// front of others does that, whose slopes hide how far it went.
    /// </summary>
    private (double Right, double Down)? Swap(List<int> blocks)
    {
        Span<double> light = [0, 0];
        Span<double> x = [0, 0];
        Span<double> y = [0, 0];
        foreach (var i in blocks.SelectMany(i => Near(i % sums.Columns, i / sums.Columns)).Distinct())
        {
            var by = test.GreySum(i);
            var side = by > 0 ? 1 : 0;
            light[side] += Math.Abs(by);
            x[side] += Math.Abs(by) * (test.Left(i) + (test.Width(i) / 2.0));
            y[side] += Math.Abs(by) * (test.Top(i) + (test.Height(i) / 2.0));
        }

        return Math.Abs(light[1] - light[0]) > MostUneven * (light[0] + light[1]) ? null
            : ((x[1] / light[1]) - (x[0] / light[0]), (y[1] / light[1]) - (y[0] / light[0]));
    }

    private IEnumerable<int> Near(int column, int row)
    {
        for (var v = Math.Max(0, row - 1); v <= Math.Min(sums.Rows - 1, row + 1); v++)
        {
            for (var u = Math.Max(0, column - 1); u <= Math.Min(sums.Columns - 1, column + 1); u++)
            {
                yield return (v * sums.Columns) + u;
            }
        }
    }

    private AreaChange Tell(List<int> blocks)
    {
        double x = 0, y = 0, pixels = 0, area = 0;
        Span<double> a = [0, 0, 0];
        Span<double> b = [0, 0, 0];
        foreach (var i in blocks)
        {
            double here = test.Count(i);
            x += here * (test.Left(i) + (test.Width(i) / 2.0));
            y += here * (test.Top(i) + (test.Height(i) / 2.0));
            pixels += here;
            area += test.Width(i) * test.Height(i);
            Add(before, i, a);
            Add(after, i, b);
        }

        pixels = Math.Max(1, pixels);
        double[] was = [a[0] / pixels, a[1] / pixels, a[2] / pixels];
        double[] now = [b[0] / pixels, b[1] / pixels, b[2] / pixels];
        var told = new AreaChange(AreaChangeKind.Brighter, x / pixels / before.Width, y / pixels / before.Height, area / before.PixelCount)
        {
            Before = was, After = now,
        };
        if (Shift(blocks) is { } shift)
        {
            return told with { Kind = AreaChangeKind.Moved, Right = shift.Right, Down = shift.Down };
        }

        var (l0, a0, b0) = Lab(was);
        var (l1, a1, b1) = Lab(now);
        // More of the same light scales all three alike; what is left over is another colour.
        var scale = l0 > 0 ? l1 / l0 : 1;
        var tint = Math.Sqrt(Math.Pow(a1 - (scale * a0), 2) + Math.Pow(b1 - (scale * b0), 2));
        var turned = Math.IEEERemainder((Math.Atan2(b1, a1) - Math.Atan2(b0, a0)) * 180 / Math.PI, 360);
        return tint > Math.Abs(l1 - l0) ? told with { Kind = AreaChangeKind.Tinted, HueDegrees = turned }
            : told with { Kind = l1 >= l0 ? AreaChangeKind.Brighter : AreaChangeKind.Darker };
    }

    private void Add(FrameImage image, int block, Span<double> sum)
    {
        for (var y = test.Top(block); y < test.Top(block) + test.Height(block); y++)
        {
            int red = 0, green = 0, blue = 0;
            for (var i = (y * image.Width) + test.Left(block); i < (y * image.Width) + test.Left(block) + test.Width(block); i++)
            {
                // Pixels that changed by themselves are told by themselves.
                if (map.Pixels[i] is not (PixelChange.Changed or PixelChange.EdgeJitter))
                {
                    (red, green, blue) = (red + image.Rgba[4 * i], green + image.Rgba[(4 * i) + 1], blue + image.Rgba[(4 * i) + 2]);
                }
            }

            (sum[0], sum[1], sum[2]) = (sum[0] + red, sum[1] + green, sum[2] + blue);
        }
    }

    private static (double L, double A, double B) Lab(double[] levels)
    {
        var (l, a, b) = OkLab.From(Light(levels[0]), Light(levels[1]), Light(levels[2]));
        return (l[0], a[0], b[0]);
    }

    private static Vector256<float> Light(double level) => Vector256.Create((float)SrgbLight.Of(level) + 1e-9f);
}
