using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;

namespace StageView.Snapshot;

/// <summary>Row filters of PNG (clause 9.2), undone in place.</summary>
internal static class PngFilters
{
    public const int None = 0;
    public const int Sub = 1;
    public const int Up = 2;
    public const int Average = 3;
    public const int Paeth = 4;

    /// <param name="filter">0 to 4.</param>
    /// <param name="row">The filtered bytes; the row's samples afterwards.</param>
    /// <param name="above">The row before, undone already; zeros for the first.</param>
    /// <param name="step">Bytes a pixel, at least 1.</param>
    public static void Undo(int filter, Span<byte> row, ReadOnlySpan<byte> above, int step)
    {
        switch (filter)
        {
            case Sub:
                UndoSub(row, step);
                break;
            case Up:
                UndoUp(row, above);
                break;
            case Average:
                UndoAverage(row, above, step);
                break;
            case Paeth when step == 3:
                UndoPaeth3(row, above);
                break;
            case Paeth:
                UndoPaeth(row, above, step);
                break;
        }
    }

    private static void UndoSub(Span<byte> row, int step)
    {
        if (step == 3 && row.Length >= 3)
        {
            byte r = 0, g = 0, b = 0;
            for (var i = 0; i + 2 < row.Length; i += 3)
            {
                row[i] = r += row[i];
                row[i + 1] = g += row[i + 1];
                row[i + 2] = b += row[i + 2];
            }

            return;
        }

        for (var i = step; i < row.Length; i++)
        {
            row[i] += row[i - step];
        }
    }

    private static void UndoUp(Span<byte> row, ReadOnlySpan<byte> above)
    {
        var i = 0;
        ref var r = ref MemoryMarshal.GetReference(row);
        ref var a = ref MemoryMarshal.GetReference(above);
        for (; i <= row.Length - Vector<byte>.Count; i += Vector<byte>.Count)
        {
            (Vector.LoadUnsafe(ref r, (nuint)i) + Vector.LoadUnsafe(ref a, (nuint)i)).StoreUnsafe(ref r, (nuint)i);
        }

        for (; i < row.Length; i++)
        {
            row[i] += above[i];
        }
    }

    private static void UndoAverage(Span<byte> row, ReadOnlySpan<byte> above, int step)
    {
        for (var i = 0; i < row.Length; i++)
        {
            var left = i >= step ? row[i - step] : 0;
            row[i] += (byte)((left + above[i]) >> 1);
        }
    }

    private static void UndoPaeth(Span<byte> row, ReadOnlySpan<byte> above, int step)
    {
        for (var i = 0; i < row.Length; i++)
        {
            var (left, corner) = i >= step ? (row[i - step], above[i - step]) : ((byte)0, (byte)0);
            row[i] += (byte)Predict(left, above[i], corner);
        }
    }

    /// <summary>Three channels at once in 16-bit lanes: the predictor has no dependence between channels.</summary>
    private static void UndoPaeth3(Span<byte> row, ReadOnlySpan<byte> above)
    {
        ref var r = ref MemoryMarshal.GetReference(row);
        ref var u = ref MemoryMarshal.GetReference(above);
        Vector128<short> a = default, c = default;
        var i = 0;
        for (; i + 4 <= row.Length; i += 3)
        {
            var b = Widen(ref Unsafe.Add(ref u, i));
            var pa = b - c;
            var pb = a - c;
            var pc = Vector128.Abs(pa + pb);
            (pa, pb) = (Vector128.Abs(pa), Vector128.Abs(pb));
            var takeA = Vector128.LessThanOrEqual(pa, Vector128.Min(pb, pc));
            var guess = Vector128.ConditionalSelect(takeA, a, Vector128.ConditionalSelect(Vector128.LessThanOrEqual(pb, pc), b, c));
            a = (Widen(ref Unsafe.Add(ref r, i)) + guess) & Vector128.Create((short)0xFF);
            c = b;
            var packed = Vector128.Narrow(a.AsUInt16(), a.AsUInt16()).AsUInt32().ToScalar();
            r = ref MemoryMarshal.GetReference(row);
            Unsafe.Add(ref r, i) = (byte)packed;
            Unsafe.Add(ref r, i + 1) = (byte)(packed >> 8);
            Unsafe.Add(ref r, i + 2) = (byte)(packed >> 16);
        }

        for (; i < row.Length; i++)
        {
            var (left, corner) = i >= 3 ? (row[i - 3], above[i - 3]) : ((byte)0, (byte)0);
            row[i] += (byte)Predict(left, above[i], corner);
        }
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector128<short> Widen(ref byte at) =>
        Vector128.WidenLower(Vector128.CreateScalar(Unsafe.ReadUnaligned<uint>(ref at)).AsByte()).AsInt16();

    /// <summary>The Paeth predictor (clause 9.4).</summary>
    public static int Predict(int left, int above, int corner)
    {
        var p = left + above - corner;
        var (pa, pb, pc) = (Math.Abs(p - left), Math.Abs(p - above), Math.Abs(p - corner));
        return pa <= pb && pa <= pc ? left : pb <= pc ? above : corner;
    }
}
