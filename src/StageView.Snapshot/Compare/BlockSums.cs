using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// One pass over two pictures: for each block of 32×32 pixels the largest channel difference, the pixels over a tolerance,
/// and the signed sum of differences of each channel. Equal stretches cost one comparison a 32 bytes.
/// </summary>
internal sealed class BlockSums
{
    /// <summary>Side of a block, pixels; 32 pixels are 128 bytes, four vectors.</summary>
    public const int Side = 32;

    private BlockSums(int width, int height)
    {
        Columns = (width + Side - 1) / Side;
        Rows = (height + Side - 1) / Side;
        Largest = new byte[Columns * Rows];
        Over = new int[Columns * Rows];
        Signed = new int[3 * Columns * Rows];
    }

    public int Columns { get; }

    public int Rows { get; }

    /// <summary>Largest channel difference in each block, levels.</summary>
    public byte[] Largest { get; }

    /// <summary>Pixels over the tolerance in each block.</summary>
    public int[] Over { get; }

    /// <summary>Sum of (after - before) of red, green, blue in each block, levels.</summary>
    public int[] Signed { get; }

    public static BlockSums Of(FrameImage before, FrameImage after, int tolerance)
    {
        var sums = new BlockSums(before.Width, before.Height);
        var tolerances = Vector256.Create((byte)Math.Clamp(tolerance, 0, 255));
        Parallel.For(0, sums.Rows, blocks =>
        {
            for (var y = blocks * Side; y < Math.Min((blocks + 1) * Side, before.Height); y++)
            {
                var a = before.Rgba.AsSpan(4 * y * before.Width, 4 * before.Width);
                var b = after.Rgba.AsSpan(4 * y * before.Width, 4 * before.Width);
                // Most rows of most pairs are equal: the library's own comparison runs at the speed of memory.
                if (!a.SequenceEqual(b))
                {
                    sums.Row(a, b, blocks * sums.Columns, tolerances);
                }
            }
        });

        return sums;
    }

    private void Row(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b, int firstBlock, Vector256<byte> tolerance)
    {
        Span<byte> tailA = stackalloc byte[Vector256<byte>.Count];
        Span<byte> tailB = stackalloc byte[Vector256<byte>.Count];
        ref var pa = ref MemoryMarshal.GetReference(a);
        ref var pb = ref MemoryMarshal.GetReference(b);
        for (var i = 0; i < a.Length; i += Vector256<byte>.Count)
        {
            Vector256<byte> va, vb;
            if (i + Vector256<byte>.Count <= a.Length)
            {
                va = Vector256.LoadUnsafe(ref pa, (nuint)i);
                vb = Vector256.LoadUnsafe(ref pb, (nuint)i);
            }
            else
            {
                tailA.Clear();
                tailB.Clear();
                a[i..].CopyTo(tailA);
                b[i..].CopyTo(tailB);
                va = Vector256.Create<byte>(tailA);
                vb = Vector256.Create<byte>(tailB);
            }

            if (va != vb)
            {
                Stretch(firstBlock + (i / (4 * Side)), va, vb, tolerance);
            }
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private void Stretch(int block, Vector256<byte> a, Vector256<byte> b, Vector256<byte> tolerance)
    {
        var difference = Vector256.Max(a, b) - Vector256.Min(a, b);
        var half = Vector128.Max(difference.GetLower(), difference.GetUpper()).AsUInt64();
        var quarter = Vector128.Max(half.AsByte(), Vector128.Shuffle(half, Vector128.Create(1ul, 0)).AsByte());
        var eight = quarter.AsUInt64().ToScalar();
        var largest = Largest[block];
        if (Vector128.GreaterThanAny(quarter, Vector128.Create(largest)))
        {
            for (var k = 0; k < 8; k++)
            {
                largest = Math.Max(largest, (byte)(eight >> (8 * k)));
            }

            Largest[block] = largest;
        }

        // A pixel (a 32-bit lane) is over when any of its bytes is: the saturated rest is not zero.
        var rest = Vector256.Max(difference, tolerance) - tolerance;
        var within = Vector256.Equals(rest.AsUInt32(), Vector256<uint>.Zero).ExtractMostSignificantBits();
        Over[block] += 8 - BitOperations.PopCount(within);

        // Lanes of 16 bits hold r g b a of two pixels each: fold eight pixels to one.
        var (aLow, aHigh) = Vector256.Widen(a);
        var (bLow, bHigh) = Vector256.Widen(b);
        var sum = (bLow.AsInt16() - aLow.AsInt16()) + (bHigh.AsInt16() - aHigh.AsInt16());
        var folded = sum.GetLower() + sum.GetUpper();
        var one = folded.AsUInt64();
        var (first, second) = (one.ToScalar(), one.GetElement(1));
        var at = 3 * block;
        Signed[at] += (short)first + (short)second;
        Signed[at + 1] += (short)(first >> 16) + (short)(second >> 16);
        Signed[at + 2] += (short)(first >> 32) + (short)(second >> 32);
    }
}
