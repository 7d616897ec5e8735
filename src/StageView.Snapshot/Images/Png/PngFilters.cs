using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace StageView.Snapshot.Images.Png;

/// <summary>
/// Undoes the filters of PNG rows (ISO/IEC 15948, clause 9) on pixels of four bytes; each byte depends on the same byte of its neighbours only, so three
/// channels and a fourth of no meaning do as well.
/// </summary>
internal static class PngFilters
{
    /// <param name="filter">0 to 4: none, left, above, mean of both, the nearest of left, above and above left to their plane (Paeth).</param>
    /// <param name="row">The filtered row, which becomes the row itself.</param>
    /// <param name="above">The row above, zeros for the first.</param>
    /// <param name="alpha">Bits set in every pixel of the row: opaque alpha for rows without it.</param>
    public static bool TryUndo(int filter, Span<uint> row, ReadOnlySpan<uint> above, uint alpha)
    {
        switch (filter)
        {
            case 0:
                Opaque(row, alpha);
                return true;
            case 1:
                Left(row, alpha);
                return true;
            case 2:
                Above(row, above, alpha);
                return true;
            case 3:
                Mean(row, above, alpha);
                return true;
            case 4:
                Nearest(row, above, alpha);
                return true;
            default:
                return false;
        }
    }

    private static Vector128<byte> Pixel(uint value) => Vector128.CreateScalarUnsafe(value).AsByte();

    private static void Opaque(Span<uint> row, uint alpha)
    {
        for (var i = 0; alpha != 0 && i < row.Length; i++)
        {
            row[i] |= alpha;
        }
    }

    private static void Left(Span<uint> row, uint alpha)
    {
        var left = Vector128<byte>.Zero;
        foreach (ref var pixel in row)
        {
            left += Pixel(pixel);
            pixel = left.AsUInt32().ToScalar() | alpha;
        }
    }

    private static void Above(Span<uint> row, ReadOnlySpan<uint> above, uint alpha)
    {
        var i = 0;
        ref var to = ref MemoryMarshal.GetReference(row);
        ref var from = ref MemoryMarshal.GetReference(above);
        for (; i + Vector256<uint>.Count <= row.Length; i += Vector256<uint>.Count)
        {
            var sum = Vector256.LoadUnsafe(ref to, (nuint)i).AsByte() + Vector256.LoadUnsafe(ref from, (nuint)i).AsByte();
            (sum.AsUInt32() | Vector256.Create(alpha)).StoreUnsafe(ref to, (nuint)i);
        }

        for (; i < row.Length; i++)
        {
            row[i] = (Pixel(row[i]) + Pixel(above[i])).AsUInt32().ToScalar() | alpha;
        }
    }

    private static void Mean(Span<uint> row, ReadOnlySpan<uint> above, uint alpha)
    {
        var left = Vector128<byte>.Zero;
        var low = Vector128.Create((byte)0x7f);
        for (var i = 0; i < row.Length; i++)
        {
            // ⌊(a + b) / 2⌋ without a ninth bit.
            var up = Pixel(above[i]);
            var half = (left & up) + (Vector128.ShiftRightLogical((left ^ up).AsUInt16(), 1).AsByte() & low);
            left = Pixel(row[i]) + half;
            row[i] = left.AsUInt32().ToScalar() | alpha;
        }
    }

    private static void Nearest(Span<uint> row, ReadOnlySpan<uint> above, uint alpha)
    {
        var (left, corner) = (Vector128<short>.Zero, Vector128<short>.Zero);
        var bytes = Vector128.Create((short)0xff);
        for (var i = 0; i < row.Length; i++)
        {
            var up = Vector128.WidenLower(Pixel(above[i])).AsInt16();
            var (pa, pb) = (up - corner, left - corner);
            var pc = Vector128.Abs(pa + pb);
            (pa, pb) = (Vector128.Abs(pa), Vector128.Abs(pb));
            // In this order of preference: left, above, corner.
            var least = Vector128.Min(pc, Vector128.Min(pa, pb));
            var chosen = Vector128.ConditionalSelect(Vector128.Equals(least, pa), left, Vector128.ConditionalSelect(Vector128.Equals(least, pb), up, corner));
            left = (Vector128.WidenLower(Pixel(row[i])).AsInt16() + chosen) & bytes;
            corner = up;
            row[i] = Vector128.Narrow(left.AsUInt16(), left.AsUInt16()).AsUInt32().ToScalar() | alpha;
        }
    }
}
