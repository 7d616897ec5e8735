using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// Tells noise whose tails pass the tolerance from a change: its differences cancel, none stands out from the others, and none knows of its neighbour. What
/// changed brightens or darkens, stands alone, or hangs together.
/// </summary>
internal static class BlockNoise
{
    /// <summary>How far beyond the tolerance noise may reach, levels: that of 2 levels in both pictures.</summary>
    public const int Beyond = 2;

    /// <summary>Standard errors off pure chance, and standard deviations that a pixel may be off the others.</summary>
    private const double Errors = 6;

    public static bool Is(FrameImage before, FrameImage after, int x0, int y0)
    {
        var (x1, y1) = (Math.Min(x0 + BlockSums.Side, before.Width), Math.Min(y0 + BlockSums.Side, before.Height));
        for (var c = 0; c < 4; c++)
        {
            long sum = 0, squares = 0, across = 0, down = 0;
            var largest = 0;
            for (var y = y0; y < y1; y++)
            {
                for (var x = x0; x < x1; x++)
                {
                    var d = Difference(x, y, c);
                    sum += d;
                    squares += d * d;
                    largest = Math.Max(largest, Math.Abs(d));
                    across += x + 1 < x1 ? d * Difference(x + 1, y, c) : 0;
                    down += y + 1 < y1 ? d * Difference(x, y + 1, c) : 0;
                }
            }

            double count = (x1 - x0) * (y1 - y0);
            var chance = Errors * squares / Math.Sqrt(count);
            if (Math.Abs(sum) > Errors * Math.Sqrt(squares) || largest > Errors * Math.Sqrt(squares / count) || Math.Abs(across) > chance
                || Math.Abs(down) > chance)
            {
                return false;
            }
        }

        return true;

        int Difference(int x, int y, int channel)
        {
            var i = (4 * ((y * before.Width) + x)) + channel;
            return after.Rgba[i] - before.Rgba[i];
        }
    }
}
