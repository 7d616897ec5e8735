using System.Numerics;
using System.Runtime.Intrinsics;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// Tells the jitter of an edge from a change. A pixel is a candidate when each picture's value lies within what the other's
/// 3×3 neighbourhood shows already, give or take a quarter of its contrast. Within a block the candidates pass only if the edge as a whole stayed put:
/// they are few (an edge is a line, not a texture), they don't all brighten or darken by more than half the edge's
/// contrast (a beam that widened), and the shift that explains them best is below 0.6 of a pixel (least squares of the
/// brightness constancy equation over the block, Lucas and Kanade 1981). Both need enough pixels to be more than chance.
/// </summary>
internal sealed class EdgeTest(FrameImage before, FrameImage after, int tolerance)
{
    /// <summary>Largest share of a block's pixels that an edge can take: two crossing edges, each two pixels wide.</summary>
    private const double MostOfBlock = 0.25;

    /// <summary>How far past its neighbourhood a pixel may lie, as a share of the neighbourhood's contrast: a smoothed edge is wider than a pixel.</summary>
    private const double EdgeSlack = 0.25;

    private const double MostGrowth = 0.7;
    private const double MostShift = 0.6;

    /// <summary>How many standard deviations off pure chance a shift or a growth must be.</summary>
    private const double Chance = 3.2;

    /// <summary>How far beyond its block an edge is looked at, pixels: a block's border must not cut it short.</summary>
    private const int Around = BlockSums.Side / 2;

    private readonly List<(int X0, int Y0)> _blocks = [];
    private readonly Vector256<byte> _tolerance = Vector256.Create((byte)tolerance);

    /// <summary>Pixels that changed, and pixels let pass as jitter, after <see cref="Settle"/>.</summary>
    public int Changed { get; private set; }

    public int Jitter { get; private set; }

    /// <summary>
    /// Marks the pixels over the tolerance of one block, candidates as <see cref="PixelChange.EdgeJitter"/> until <see cref="Settle"/>; returns what they add
    /// to the block's signed sums.
    /// </summary>
    public BlockPart Block(int x0, int y0, ChangeMap map, bool forgive)
    {
        var (x1, y1) = (Math.Min(x0 + BlockSums.Side, map.Width), Math.Min(y0 + BlockSums.Side, map.Height));
        var candidates = 0;
        var part = new BlockPart();
        for (var y = y0; y < y1; y++)
        {
            for (var x = x0; x < x1; x += 8)
            {
                for (var over = OverMask(x, y, Math.Min(8, x1 - x)); over != 0; over &= over - 1)
                {
                    var u = x + BitOperations.TrailingZeroCount(over);
                    var i = (y * map.Width) + u;
                    part = part.With(before.Rgba, after.Rgba, 4 * i);
                    var jitter = forgive && Within(before, after, u, y) && Within(after, before, u, y);
                    map.Pixels[i] = jitter ? PixelChange.EdgeJitter : PixelChange.Changed;
                    candidates += jitter ? 1 : 0;
                }
            }
        }

        Changed += part.Count - candidates;
        Jitter += candidates;
        if (candidates > MostOfBlock * (x1 - x0) * (y1 - y0))
        {
            Refuse(x0, y0, map);
        }
        else if (candidates > 0)
        {
            _blocks.Add((x0, y0));
        }

        return part;
    }

    /// <summary>Adds what another test of other blocks of the same pictures found.</summary>
    public void Take(EdgeTest other)
    {
        Changed += other.Changed;
        Jitter += other.Jitter;
        _blocks.AddRange(other._blocks);
    }

    /// <summary>Decides about all candidates once every block was marked.</summary>
    public void Settle(ChangeMap map)
    {
        // All are judged before one is refused: a block looks beyond its border.
        var stays = new bool[_blocks.Count];
        Parallel.For(0, stays.Length, i => stays[i] = EdgeStays(_blocks[i].X0, _blocks[i].Y0, map));
        for (var i = 0; i < stays.Length; i++)
        {
            if (!stays[i])
            {
                Refuse(_blocks[i].X0, _blocks[i].Y0, map);
            }
        }
    }

    private void Refuse(int x0, int y0, ChangeMap map)
    {
        for (var y = y0; y < Math.Min(y0 + BlockSums.Side, map.Height); y++)
        {
            for (var x = x0; x < Math.Min(x0 + BlockSums.Side, map.Width); x++)
            {
                ref var pixel = ref map.Pixels[(y * map.Width) + x];
                if (pixel == PixelChange.EdgeJitter)
                {
                    pixel = PixelChange.Changed;
                    Changed++;
                    Jitter--;
                }
            }
        }
    }

    /// <summary>A bit for each of up to eight pixels of which a channel is over the tolerance.</summary>
    private uint OverMask(int x, int y, int count)
    {
        var at = 4 * ((y * before.Width) + x);
        if (at + 32 <= before.Rgba.Length)
        {
            var a = Vector256.LoadUnsafe(ref before.Rgba[at]);
            var b = Vector256.LoadUnsafe(ref after.Rgba[at]);
            var rest = Vector256.Max(Vector256.Max(a, b) - Vector256.Min(a, b), _tolerance) - _tolerance;
            return ~Vector256.Equals(rest.AsUInt32(), Vector256<uint>.Zero).ExtractMostSignificantBits() & ((1u << count) - 1);
        }

        var mask = 0u;
        for (var k = 0; k < count; k++)
        {
            mask |= IsOver(at + (4 * k)) ? 1u << k : 0;
        }

        return mask;
    }

    private bool IsOver(int at)
    {
        var (a, b) = (before.Rgba, after.Rgba);
        return Math.Abs(a[at] - b[at]) > tolerance || Math.Abs(a[at + 1] - b[at + 1]) > tolerance
            || Math.Abs(a[at + 2] - b[at + 2]) > tolerance || Math.Abs(a[at + 3] - b[at + 3]) > tolerance;
    }

    private bool Within(FrameImage values, FrameImage shown, int x, int y)
    {
        Span<byte> lows = stackalloc byte[16];
        Span<byte> highs = stackalloc byte[16];
        Ranges(shown, x, y, lows, highs);
        var pixel = values.Rgba.AsSpan(4 * ((y * values.Width) + x), 4);
        for (var c = 0; c < 4; c++)
        {
            var slack = tolerance + (EdgeSlack * (highs[c] - lows[c]));
            if (pixel[c] < lows[c] - slack || pixel[c] > highs[c] + slack)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>Least and greatest value of each channel in the 3×3 neighbourhood, in the first four bytes.</summary>
    private static void Ranges(FrameImage image, int x, int y, Span<byte> lows, Span<byte> highs)
    {
        if (x < 1 || y < 1 || x + 2 >= image.Width || y + 1 >= image.Height)
        {
            for (var c = 0; c < 4; c++)
            {
                var (low, high) = Range(image, x, y, c);
                (lows[c], highs[c]) = ((byte)low, (byte)high);
            }

            return;
        }

        // Four pixels of each of three rows; the fourth is replaced by the third, which is in the neighbourhood.
        var order = Vector128.Create(0, 1, 2, 2);
        ref var first = ref image.Rgba[4 * (((y - 1) * image.Width) + x - 1)];
        var stride = (nuint)(4 * image.Width);
        var a = Vector128.Shuffle(Vector128.LoadUnsafe(ref first).AsInt32(), order).AsByte();
        var b = Vector128.Shuffle(Vector128.LoadUnsafe(ref first, stride).AsInt32(), order).AsByte();
        var d = Vector128.Shuffle(Vector128.LoadUnsafe(ref first, 2 * stride).AsInt32(), order).AsByte();
        var least = Vector128.Min(a, Vector128.Min(b, d));
        var most = Vector128.Max(a, Vector128.Max(b, d));
        least = Vector128.Min(least, Vector128.Shuffle(least.AsInt32(), Vector128.Create(2, 3, 0, 1)).AsByte());
        most = Vector128.Max(most, Vector128.Shuffle(most.AsInt32(), Vector128.Create(2, 3, 0, 1)).AsByte());
        least = Vector128.Min(least, Vector128.Shuffle(least.AsInt32(), Vector128.Create(1, 0, 3, 2)).AsByte());
        most = Vector128.Max(most, Vector128.Shuffle(most.AsInt32(), Vector128.Create(1, 0, 3, 2)).AsByte());
        least.CopyTo(lows);
        most.CopyTo(highs);
    }

    private static (int Low, int High) Range(FrameImage image, int x, int y, int channel)
    {
        int low = 255, high = 0;
        for (var v = Math.Max(0, y - 1); v <= Math.Min(image.Height - 1, y + 1); v++)
        {
            for (var u = Math.Max(0, x - 1); u <= Math.Min(image.Width - 1, x + 1); u++)
            {
                int value = image.Rgba[(4 * ((v * image.Width) + u)) + channel];
                low = Math.Min(low, value);
                high = Math.Max(high, value);
            }
        }

        return (low, high);
    }

    private bool EdgeStays(int blockX, int blockY, ChangeMap map)
    {
        var (x0, y0) = (Math.Max(0, blockX - Around), Math.Max(0, blockY - Around));
        var (x1, y1) = (Math.Min(map.Width, blockX + BlockSums.Side + Around), Math.Min(map.Height, blockY + BlockSums.Side + Around));
        double growth = 0, contrast = 0, squares = 0;
        var count = 0;
        for (var y = y0; y < y1; y++)
        {
            for (var x = x0; x < x1; x++)
            {
                if (map[x, y] != PixelChange.EdgeJitter)
                {
                    continue;
                }

                // The channel that differs most speaks for the pixel.
                var i = 4 * ((y * map.Width) + x);
                var channel = Strongest(i);
                var d = after.Rgba[i + channel] - before.Rgba[i + channel];
                var (lowA, highA) = Range(before, x, y, channel);
                var (lowB, highB) = Range(after, x, y, channel);
                count++;
                growth += d;
                squares += (double)d * d;
                contrast += Math.Max(highA, highB) - Math.Min(lowA, lowB);
            }
        }

        if (Math.Abs(growth) > MostGrowth * contrast && Math.Abs(growth) > Chance * Math.Sqrt(squares))
        {
            return false;
        }

        var shift = Shift(x0, y0, x1, y1);
        return shift <= MostShift || shift * Math.Sqrt(count) <= Chance;
    }

    private int Strongest(int at)
    {
        var best = 0;
        for (var c = 1; c < 3; c++)
        {
            if (Math.Abs(after.Rgba[at + c] - before.Rgba[at + c]) > Math.Abs(after.Rgba[at + best] - before.Rgba[at + best]))
            {
                best = c;
            }
        }

        return best;
    }

    /// <summary>The displacement that explains the block's differences best, pixels.</summary>
    private double Shift(int x0, int y0, int x1, int y1)
    {
        double xx = 0, xy = 0, yy = 0, xt = 0, yt = 0;
        for (var y = Math.Max(1, y0); y < Math.Min(y1, before.Height - 1); y++)
        {
            for (var x = Math.Max(1, x0); x < Math.Min(x1, before.Width - 1); x++)
            {
                double gx = (Light(x + 1, y) - Light(x - 1, y)) * 0.25;
                double gy = (Light(x, y + 1) - Light(x, y - 1)) * 0.25;
                if (gx == 0 && gy == 0)
                {
                    continue;
                }

                var i = 4 * ((y * before.Width) + x);
                double d = Grey(after.Rgba, i) - Grey(before.Rgba, i);
                (xx, xy, yy, xt, yt) = (xx + (gx * gx), xy + (gx * gy), yy + (gy * gy), xt + (gx * d), yt + (gy * d));
            }
        }

        // A straight edge tells nothing of the shift along it: a little damping keeps that part at zero.
        var damping = (0.01 * (xx + yy)) + 1e-9;
        (xx, yy) = (xx + damping, yy + damping);
        var det = (xx * yy) - (xy * xy);
        var (u, v) = (((yy * xt) - (xy * yt)) / det, ((xx * yt) - (xy * xt)) / det);
        return Math.Sqrt((u * u) + (v * v));
    }

    private int Light(int x, int y)
    {
        var i = 4 * ((y * before.Width) + x);
        return Grey(before.Rgba, i) + Grey(after.Rgba, i);
    }

    private static int Grey(byte[] rgba, int at) => (rgba[at] + (2 * rgba[at + 1]) + rgba[at + 2]) >> 2;
}
