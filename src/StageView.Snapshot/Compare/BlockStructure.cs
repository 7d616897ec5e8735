using System.Runtime.Intrinsics;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// The sums that tell how far the contents of a block moved: of gradients and of differences, after the brightness constancy equation (Lucas and Kanade
/// 1981). Only pixels within the tolerance and on slopes, not edges: edges have a test of their own. In units of a sixteenth of a level a pixel for
/// gradients, a quarter of a level for differences.
/// </summary>
internal readonly record struct BlockStructure(int Count, long X, long Y, long D, long Xx, long Xy, long Yy, long Xd, long Yd, long Dd)
{
    /// <summary>Steepest slope that is none of an edge, levels a pixel.</summary>
    private const int Steepest = 8;

    /// <summary>Least squared differences that have statistics, levels squared.</summary>
    private const int Many = 48;

    /// <summary>Differences are r + 2g + b: four times a level.</summary>
    private const int GreyUnits = 4;

    /// <summary>Gradients are between the pixels on both sides, of both pictures: 16 times a level a pixel.</summary>
    private const int SlopeUnits = 16;

    private const int Wide = BlockSums.Side + 16;

    public static BlockStructure operator +(BlockStructure a, BlockStructure b) =>
        new(a.Count + b.Count, a.X + b.X, a.Y + b.Y, a.D + b.D, a.Xx + b.Xx, a.Xy + b.Xy, a.Yy + b.Yy, a.Xd + b.Xd, a.Yd + b.Yd, a.Dd + b.Dd);

    /// <summary>
    /// The shift that explains the differences best beside a change of the mean, pixels, and how far it is off chance: what it explains over the variance,
    /// of which independent noise leaves a chi-squared number of two degrees of freedom.
    /// </summary>
    public (double X, double Y, double Chance) ShiftBesideMean()
    {
        // The law of large numbers holds for many differences, not for a few specks.
        if (Dd < Many * GreyUnits * GreyUnits)
        {
            return default;
        }

        double n = Count, slopes = SlopeUnits * SlopeUnits, mixed = SlopeUnits * GreyUnits;
        var (x, y, explained) = Solve((Xx - (X * X / n)) / slopes, (Xy - (X * Y / n)) / slopes, (Yy - (Y * Y / n)) / slopes, (Xd - (X * D / n)) / mixed,
            (Yd - (Y * D / n)) / mixed);
        var squares = (Dd - (D * D / n)) / (GreyUnits * GreyUnits);
        return squares <= 0 ? default : (x, y, explained * n / squares);
    }

    /// <summary>Least squares: the shift, pixels, and what it explains of the squared differences. Slopes in levels a pixel, differences in levels.</summary>
    internal static (double X, double Y, double Explained) Solve(double xx, double xy, double yy, double xd, double yd)
    {
        // A straight beam tells nothing of the shift along it: a little damping keeps that part at zero.
        var damping = (0.01 * (xx + yy)) + 1e-9;
        (xx, yy) = (xx + damping, yy + damping);
        var determinant = (xx * yy) - (xy * xy);
        var (u, v) = (((yy * xd) - (xy * yd)) / determinant, ((xx * yd) - (xy * xd)) / determinant);
        // What is there after is there before, further left and up: the sign turns.
        return (-u, -v, (u * xd) + (v * yd));
    }

    public static BlockStructure Of(FrameImage before, FrameImage after, int x0, int y0, int tolerance)
    {
        var rows = Math.Min(BlockSums.Side, before.Height - y0);
        Span<int> sums = stackalloc int[Wide * (BlockSums.Side + 2)];
        Span<int> differences = stackalloc int[Wide * (BlockSums.Side + 2)];
        Span<int> counted = stackalloc int[Wide * (BlockSums.Side + 2)];
        for (var v = 0; v < rows + 2; v++)
        {
            Fill(before, after, x0, Math.Clamp(y0 + v - 1, 0, before.Height - 1), tolerance, sums[(v * Wide)..], differences[(v * Wide)..],
                counted[(v * Wide)..]);
        }

        Vector256<int> count = default, x = default, y = default, s = default, xx = default, xy = default, yy = default, xd = default, yd = default, dd = default;
        var (steepest, least) = (Vector256.Create(Steepest * SlopeUnits), Vector256.Create(-Steepest * SlopeUnits));
        for (var v = Math.Max(1, 2 - y0); v <= Math.Min(rows, before.Height - 1 - y0); v++)
        {
            for (var u = 8; u < BlockSums.Side + 8; u += 8)
            {
                var at = (v * Wide) + u;
                var gx = Vector256.Create<int>(sums[(at + 1)..]) - Vector256.Create<int>(sums[(at - 1)..]);
                var gy = Vector256.Create<int>(sums[(at + Wide)..]) - Vector256.Create<int>(sums[(at - Wide)..]);
                var slope = Vector256.LessThanOrEqual(Vector256.Max(gx, gy), steepest) & Vector256.GreaterThanOrEqual(Vector256.Min(gx, gy), least);
                var taken = slope & Vector256.Create<int>(counted[at..]);
                (gx, gy) = (gx & taken, gy & taken);
                var d = Vector256.Create<int>(differences[at..]) & taken;
                (count, xx, xy, yy) = (count - taken, xx + (gx * gx), xy + (gx * gy), yy + (gy * gy));
                (x, y, s) = (x + gx, y + gy, s + d);
                (xd, yd, dd) = (xd + (gx * d), yd + (gy * d), dd + (d * d));
            }
        }

        return new BlockStructure(Vector256.Sum(count), Vector256.Sum(x), Vector256.Sum(y), Vector256.Sum(s), Vector256.Sum(xx), Vector256.Sum(xy),
            Vector256.Sum(yy), Vector256.Sum(xd), Vector256.Sum(yd), Vector256.Sum(dd));
    }

    /// <summary>A row from eight pixels before the block to eight behind it; pixels that don't count are those outside and those over the tolerance.</summary>
    private static void Fill(
        FrameImage before, FrameImage after, int x0, int y, int tolerance, Span<int> sums, Span<int> differences, Span<int> counted)
    {
        var bytes = Vector256.Create((byte)tolerance);
        var (low, two) = (Vector256.Create(0xFFu), Vector256.Create(0x1FEu));
        for (var u = 0; u < Wide; u += 8)
        {
            var x = x0 + u - 8;
            var at = 4 * ((y * before.Width) + x);
            if (x >= 0 && x + 8 <= before.Width)
            {
                var (a, b) = (Vector256.LoadUnsafe(ref before.Rgba[at]), Vector256.LoadUnsafe(ref after.Rgba[at]));
                var rest = Vector256.Max(Vector256.Max(a, b) - Vector256.Min(a, b), bytes) - bytes;
                var within = Vector256.Equals(rest.AsInt32(), Vector256<int>.Zero);
                var (p, q) = (Grey(a.AsUInt32()), Grey(b.AsUInt32()));
                (p + q).CopyTo(sums[u..]);
                (q - p).CopyTo(differences[u..]);
                within.CopyTo(counted[u..]);
                continue;
            }

            for (var k = 0; k < 8; k++)
            {
                // Outside, the picture's last column stands again and again; its slope is none, so that the column itself is left out, too.
                var i = 4 * ((y * before.Width) + Math.Clamp(x + k, 0, before.Width - 1));
                var (p, q) = (GreyOf(before.Rgba, i), GreyOf(after.Rgba, i));
                (sums[u + k], differences[u + k]) = (p + q, q - p);
                counted[u + k] = x + k >= 1 && x + k < before.Width - 1 && Within(before.Rgba, after.Rgba, i, tolerance) ? -1 : 0;
            }
        }

        Vector256<int> Grey(Vector256<uint> v) => ((v & low) + ((v >> 7) & two) + ((v >> 16) & low)).AsInt32();
    }

    private static int GreyOf(byte[] rgba, int at) => rgba[at] + (2 * rgba[at + 1]) + rgba[at + 2];

    private static bool Within(byte[] a, byte[] b, int at, int tolerance) =>
        Math.Abs(a[at] - b[at]) <= tolerance && Math.Abs(a[at + 1] - b[at + 1]) <= tolerance && Math.Abs(a[at + 2] - b[at + 2]) <= tolerance;
}
