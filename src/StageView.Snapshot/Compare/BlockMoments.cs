using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// The differences of one channel over an area's pixels within the tolerance: how many, their sum and their squares, levels; and the same of those pixels
/// that are so near to black or to full in one of the pictures that noise within the tolerance is cut there.
/// </summary>
internal readonly record struct BlockMoments(long Count, long Sum, long Squares, long Cut, long CutSum, long CutSquares)
{
    /// <summary>
    /// Noise round black is cut off below, so that its mean lies above black: by at most this many of its standard deviations (uniform noise of ±2 levels:
    /// 0.6 over 0.8; of ±1 or normal: less).
    /// </summary>
    private const double CutBias = 0.77;

    public static BlockMoments operator +(BlockMoments a, BlockMoments b) =>
        new(a.Count + b.Count, a.Sum + b.Sum, a.Squares + b.Squares, a.Cut + b.Cut, a.CutSum + b.CutSum, a.CutSquares + b.CutSquares);

    public double Mean => Count == 0 ? 0 : (double)Sum / Count;

    /// <summary>What of the mean chance alone can do: so many standard errors, and what cut noise adds.</summary>
    public double Chance(double errors)
    {
        if (Count == 0)
        {
            return double.PositiveInfinity;
        }

        var spread = Math.Sqrt(Math.Max(0, ((double)Squares / Count) - (Mean * Mean)));
        var cutMean = Cut == 0 ? 0 : (double)CutSum / Cut;
        var cutSpread = Cut == 0 ? 0 : Math.Sqrt(Math.Max(0, ((double)CutSquares / Cut) - (cutMean * cutMean)));
        return (errors * spread / Math.Sqrt(Count)) + (CutBias * cutSpread * Cut / Count);
    }

    /// <summary>The moments of red, green and blue of one block.</summary>
    public static BlockMoments[] Of(FrameImage before, FrameImage after, ChangeMap map, int x0, int y0, int tolerance)
    {
        var moments = new BlockMoments[3];
        for (var y = y0; y < Math.Min(y0 + BlockSums.Side, map.Height); y++)
        {
            for (var x = x0; x < Math.Min(x0 + BlockSums.Side, map.Width); x++)
            {
                var i = (y * map.Width) + x;
                if (map.Pixels[i] is PixelChange.Changed or PixelChange.EdgeJitter)
                {
                    continue;
                }

                for (var c = 0; c < 3; c++)
                {
                    int a = before.Rgba[(4 * i) + c], b = after.Rgba[(4 * i) + c];
                    var d = b - a;
                    moments[c] += Math.Min(a, b) <= tolerance || Math.Max(a, b) >= 255 - tolerance ? new BlockMoments(1, d, d * d, 1, d, d * d) : new BlockMoments(1, d, d * d, 0, 0, 0);
                }
            }
        }

        return moments;
    }
}
