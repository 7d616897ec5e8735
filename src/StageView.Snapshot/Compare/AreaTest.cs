using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// Finds changes too faint for any pixel to tell: means and shifts over squares of 32, 64 and 128 pixels, each held against what noise of the spread found
/// there could do. A mean of n pixels has the spread of one over √n, so that large areas show a tenth of a level.
/// </summary>
internal sealed class AreaTest
{
    /// <summary>Standard errors off pure chance: at six, a normal number is beyond once in 500 million.</summary>
    private const double Errors = 6;

    /// <summary>The same for a shift: a chi-squared number of two degrees of freedom is beyond once in exp(22).</summary>
    private const double ShiftChance = 44;

    /// <summary>Smallest shift told, pixels.</summary>
    private const double LeastShift = 0.3;

    /// <summary>A handful of pixels has no mean worth the name.</summary>
    private const int FewPixels = 64;

    /// <summary>Least blocks that can tell rounding of a whole frame.</summary>
    private const int FewBlocks = 12;

    /// <summary>Sides of the squares, blocks, and the share of the limit that holds for each: what is wide is seen sooner.</summary>
    private static readonly (int Side, double Share)[] _scales = [(1, 1), (2, 0.6), (4, 0.4)];

    private readonly FrameImage _before;
    private readonly FrameImage _after;
    private readonly BlockSums _sums;
    private readonly BlockPart[] _over;
    private readonly ChangeMap _map;
    private readonly double _limit;
    private readonly int _tolerance;
    private readonly BlockStructure[] _structure;
    private readonly BlockMoments[]?[] _moments;
    private readonly int[] _counts;
    private readonly double[] _rounding = new double[3];
    private readonly AreaMark[] _marks;

    /// <param name="over">What the pixels over the tolerance add to the sums of each block: they are judged already.</param>
    /// <param name="limit">Largest shift of the mean of a block that passes, levels.</param>
    public AreaTest(FrameImage before, FrameImage after, BlockSums sums, BlockPart[] over, ChangeMap map, double limit, int tolerance)
    {
        (_before, _after, _sums, _over, _map, _limit, _tolerance) = (before, after, sums, over, map, limit, tolerance);
        var blocks = sums.Largest.Length;
        (_structure, _moments, _marks) = (new BlockStructure[blocks], new BlockMoments[blocks][], new AreaMark[blocks]);
        _counts = [.. Enumerable.Range(0, blocks).Select(i => (Width(i) * Height(i)) - over[i].Count)];
        Parallel.For(0, sums.Rows, row =>
        {
            for (var i = row * sums.Columns; i < (row + 1) * sums.Columns; i++)
            {
                _structure[i] = sums.Largest[i] > 0 ? BlockStructure.Of(before, after, Left(i), Top(i), tolerance) : default;
            }
        });
        for (var c = 0; c < 3; c++)
        {
            _rounding[c] = Rounding(c);
        }
    }

    /// <summary>Looks at all squares, and returns what became of each block.</summary>
    public AreaMark[] Run()
    {
        foreach (var (side, share) in _scales)
        {
            var (columns, rows) = (Math.Max(1, _sums.Columns - side + 1), Math.Max(1, _sums.Rows - side + 1));
            for (var row = 0; row < rows; row++)
            {
                for (var column = 0; column < columns; column++)
                {
                    var blocks = Square(column, row, side);
                    if (blocks.Any(i => _sums.Largest[i] > 0))
                    {
                        Means(blocks, _limit * share);
                        Shifts(blocks);
                    }
                }
            }
        }

        return _marks;
    }

    public int Left(int block) => block % _sums.Columns * BlockSums.Side;

    public int Top(int block) => block / _sums.Columns * BlockSums.Side;

    public int Width(int block) => Math.Min(BlockSums.Side, _map.Width - Left(block));

    public int Height(int block) => Math.Min(BlockSums.Side, _map.Height - Top(block));

    /// <summary>Pixels of a block within the tolerance.</summary>
    public int Count(int block) => _counts[block];

    private int[] Square(int column, int row, int side) =>
    [
        .. Enumerable.Range(row, Math.Min(side, _sums.Rows - row))
            .SelectMany(v => Enumerable.Range(column, Math.Min(side, _sums.Columns - column)).Select(u => (v * _sums.Columns) + u)),
    ];

    private void Means(int[] blocks, double limit)
    {
        var count = blocks.Sum(i => _counts[i]);
        if (count < FewPixels)
        {
            return;
        }

        for (var c = 0; c < 3; c++)
        {
            var mean = (blocks.Sum(i => Signed(i, c)) / (double)count) - _rounding[c];
            if (Math.Abs(mean) <= limit)
            {
                continue;
            }

            var moments = blocks.Aggregate(default(BlockMoments), (sum, i) => sum + Moments(i)[c]);
            if (Math.Abs(mean) <= Math.Max(limit, moments.Chance(Errors)))
            {
                continue;
            }

            foreach (var i in blocks.Where(i => _counts[i] > 0 && (Own(i, c) - _rounding[c]) / mean >= 0.5))
            {
                _marks[i] |= AreaMark.Mean;
            }
        }
    }

    private void Shifts(int[] blocks)
    {
        var all = blocks.Aggregate(default(BlockStructure), (sum, i) => sum + _structure[i]);
        var (x, y, chance) = all.ShiftBesideMean();
        if (all.Count < FewPixels || chance < ShiftChance || _limit >= byte.MaxValue || (x * x) + (y * y) < LeastShift * LeastShift)
        {
            return;
        }

        foreach (var i in blocks.Where(i => _structure[i].Dd > 0 && (x * _structure[i].Xd) + (y * _structure[i].Yd) < 0))
        {
            _marks[i] |= AreaMark.Shift;
        }
    }

    /// <summary>A whole level that every block of the frame is off by: pictures rounded otherwise, no light; 0 where it is none.</summary>
    private double Rounding(int channel)
    {
        var means = Enumerable.Range(0, _counts.Length).Where(i => _counts[i] >= FewPixels).Select(i => Own(i, channel)).Order().ToList();
        var middle = means.Count < FewBlocks ? 0 : means[means.Count / 2];
        return Math.Abs(middle) is > 0.75 and <= 1 && means[^1] - middle <= _limit && middle - means[0] <= _limit ? middle : 0;
    }

    private double Own(int block, int channel) => _counts[block] == 0 ? 0 : Signed(block, channel) / (double)_counts[block];

    private int Signed(int block, int channel) =>
        _sums.Signed[(3 * block) + channel] - channel switch { 0 => _over[block].Red, 1 => _over[block].Green, _ => _over[block].Blue };

    private BlockMoments[] Moments(int block) => _moments[block] ??= BlockMoments.Of(_before, _after, _map, Left(block), Top(block), _tolerance);

    /// <summary>Sum of the differences of a block's pixels within the tolerance, red and blue once, green twice, levels.</summary>
    public int GreySum(int block) => Signed(block, 0) + (2 * Signed(block, 1)) + Signed(block, 2);
}
