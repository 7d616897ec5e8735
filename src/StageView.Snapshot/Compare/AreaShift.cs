using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// How far the contents of an area moved, from the means of cells of 8×8 pixels: noise and rounding, which hide the slope of a faint beam from pixel to
/// pixel, are mostly gone there. Least squares of the brightness constancy equation (Lucas and Kanade 1981).
/// </summary>
internal sealed class AreaShift(FrameImage before, FrameImage after, ChangeMap map)
{
    private const int Side = 8;
    private const int Cells = BlockSums.Side / Side;
    private const int Wide = Cells + 2;

    /// <summary>Share of the differences that a shift must explain: else something else happened.</summary>
    private const double Least = 0.5;

    /// <summary>So much further than with another mean must a shift explain the differences of the whole.</summary>
    private const double OverMean = 2;

    /// <returns>Pixels to the right and down, or null where the area did something else.</returns>
    public (double Right, double Down)? Of(IEnumerable<(int Left, int Top)> blocks)
    {
        var all = blocks.Aggregate(default(Sums), (sum, b) => sum + Block(b.Left, b.Top));
        var shift = all.Shift();
        return shift.Explained > Least * all.Dd && shift.Explained > OverMean * all.ByMean ? (Side * shift.X, Side * shift.Y) : null;
    }

    private Sums Block(int left, int top)
    {
        Span<double> sum = stackalloc double[Wide * Wide];
        Span<double> difference = stackalloc double[Wide * Wide];
        for (var v = 0; v < Wide; v++)
        {
            for (var u = 0; u < Wide; u++)
            {
                (sum[(v * Wide) + u], difference[(v * Wide) + u]) = Cell(left + ((u - 1) * Side), top + ((v - 1) * Side));
            }
        }

        var sums = default(Sums);
        for (var at = Wide; at < sum.Length - Wide; at++)
        {
            var (gx, gy, d) = ((sum[at + 1] - sum[at - 1]) / 2, (sum[at + Wide] - sum[at - Wide]) / 2, difference[at]);
            if (at % Wide is > 0 and < Wide - 1 && double.IsFinite(gx + gy + d))
            {
                // What differs most speaks loudest: a beam that stands still beside the one that moved must not halve its shift.
                var w = Math.Abs(d);
                sums += new Sums(w, w * d, w * gx * gx, w * gx * gy, w * gy * gy, w * gx * d, w * gy * d, w * d * d);
            }
        }

        return sums;
    }

    /// <summary>Mean and difference of the two pictures in a cell, levels; not a number outside the frame and where a pixel changed by itself.</summary>
    private (double Sum, double Difference) Cell(int left, int top)
    {
        if (left < 0 || top < 0 || left + Side > map.Width || top + Side > map.Height)
        {
            return (double.NaN, double.NaN);
        }

        int a = 0, b = 0;
        for (var y = top; y < top + Side; y++)
        {
            for (var x = left; x < left + Side; x++)
            {
                var i = (y * map.Width) + x;
                if (map.Pixels[i] is PixelChange.Changed or PixelChange.EdgeJitter)
                {
                    return (double.NaN, double.NaN);
                }

                a += before.Rgba[4 * i] + (2 * before.Rgba[(4 * i) + 1]) + before.Rgba[(4 * i) + 2];
                b += after.Rgba[4 * i] + (2 * after.Rgba[(4 * i) + 1]) + after.Rgba[(4 * i) + 2];
            }
        }

        return ((a + b) / (8.0 * Side * Side), (b - a) / (4.0 * Side * Side));
    }

    private readonly record struct Sums(double Count, double D, double Xx, double Xy, double Yy, double Xd, double Yd, double Dd)
    {
        public static Sums operator +(Sums a, Sums b) =>
            new(a.Count + b.Count, a.D + b.D, a.Xx + b.Xx, a.Xy + b.Xy, a.Yy + b.Yy, a.Xd + b.Xd, a.Yd + b.Yd, a.Dd + b.Dd);

        public double ByMean => Count == 0 ? 0 : D * D / Count;

        public (double X, double Y, double Explained) Shift()
        {
            var (x, y, explained) = BlockStructure.Solve(Xx, Xy, Yy, Xd, Yd);
            return (x, y, explained);
        }
    }
}
