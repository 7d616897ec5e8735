namespace StageView.Light.Interreflection;

/// <summary>
/// Points that fill a cube of four dimensions evenly: Sobol's sequence with the direction numbers of Joe and Kuo (2008, SIAM J. Sci. Comput. 30). Any run of
/// 2^n points is spread evenly over each axis.
/// </summary>
internal static class Sobol
{
    private const int Bits = 32;
    private static readonly uint[] Directions = Make();

    /// <summary>A coordinate of a point, 0 to below 1.</summary>
    /// <param name="index">Which point, 0 or more.</param>
    /// <param name="axis">0 to 3.</param>
    /// <param name="shift">Shifts all points of an axis alike (exclusive or of the digits), so that runs of different places do not err alike.</param>
    public static float At(int index, int axis, uint shift = 0)
    {
        var x = shift;
        for (var (i, bit) = ((uint)index, axis * Bits); i != 0; i >>= 1, bit++)
        {
            x ^= (i & 1) == 0 ? 0 : Directions[bit];
        }

        // 24 bits: what a float holds without rounding up to 1.
        return (x >> 8) * (1f / (1 << 24));
    }

    /// <summary>A shift for an axis of a place's points: integer mixing after Wang (2007).</summary>
    public static uint Shift(int place, int axis)
    {
        var h = ((uint)place * 2654435761u) ^ ((uint)axis * 0x9E3779B9u);
        h = (h ^ 61u) ^ (h >> 16);
        h *= 9u;
        h ^= h >> 4;
        h *= 0x27d4eb2du;
        return h ^ (h >> 15);
    }

    private static uint[] Make()
    {
        // Degree, coefficients and first numbers of each axis but the first, which is van der Corput's.
        (int Degree, uint Coefficients, uint[] First)[] axes = [(1, 0, [1]), (2, 1, [1, 3]), (3, 1, [1, 3, 1])];
        var v = new uint[(axes.Length + 1) * Bits];
        for (var k = 0; k < Bits; k++)
        {
            v[k] = 1u << (Bits - 1 - k);
        }

        for (var axis = 1; axis <= axes.Length; axis++)
        {
            var (degree, coefficients, first) = axes[axis - 1];
            var mine = v.AsSpan(axis * Bits, Bits);
            for (var k = 0; k < Bits; k++)
            {
                if (k < degree)
                {
                    mine[k] = first[k] << (Bits - 1 - k);
                    continue;
                }

                mine[k] = mine[k - degree] ^ (mine[k - degree] >> degree);
                for (var q = 1; q < degree; q++)
                {
                    mine[k] ^= ((coefficients >> (degree - 1 - q)) & 1) * mine[k - q];
                }
            }
        }

        return v;
    }
}
