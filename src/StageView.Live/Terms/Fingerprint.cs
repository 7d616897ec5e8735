using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Live.Terms;

/// <summary>A number that differs when bytes do, for all that matters here: nothing is kept or trusted by it.</summary>
internal static class Fingerprint
{
    private const ulong Odd = 0x9E37_79B9_7F4A_7C15;

    /// <summary>Never 0.</summary>
    public static ulong Of(ReadOnlySpan<byte> bytes, ulong seed)
    {
        var words = MemoryMarshal.Cast<byte, ulong>(bytes);
        var (a, b) = (seed ^ Odd, seed + (ulong)bytes.Length);
        var i = 0;
        for (; i + 1 < words.Length; i += 2)
        {
            a = BitOperations.RotateLeft((a ^ words[i]) * Odd, 29);
            b = BitOperations.RotateLeft((b ^ words[i + 1]) * Odd, 31);
        }

        for (; i < words.Length; i++)
        {
            a = BitOperations.RotateLeft((a ^ words[i]) * Odd, 29);
        }

        foreach (var rest in bytes[(words.Length * sizeof(ulong))..])
        {
            b = (b ^ rest) * Odd;
        }

        return (a ^ BitOperations.RotateLeft(b, 17)) * Odd | 1;
    }
}
