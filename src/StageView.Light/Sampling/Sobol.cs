namespace StageView.Light.Sampling;

/// <summary>
/// The sequence of I. M. Sobol' (USSR Computational Mathematics and Mathematical Physics 7, 86, 1967) in seven dimensions, with the initial direction
/// numbers of S. Joe and F. Y. Kuo (SIAM Journal on Scientific Computing 30, 2635, 2008): of every 2^k points in a row from 0, each of 2^k equal parts of
/// each dimension has one.
/// </summary>
public static class Sobol
{
    public const int Dimensions = 7;

    // Degree and inner coefficients of each dimension's primitive polynomial, and its initial numbers; the first is the radical inverse.
    private static readonly (int Degree, int Inner, uint[] First)[] Polynomials =
    [
        (1, 0, [1]), (2, 1, [1, 3]), (3, 1, [1, 3, 1]), (3, 2, [1, 1, 1]), (4, 1, [1, 1, 3, 3]), (4, 4, [1, 3, 5, 13]),
    ];

    private static readonly uint[][] Directions = Make();

    /// <summary>A coordinate of a point, 0 to below 1.</summary>
    /// <param name="point">From 0 on.</param>
    /// <param name="dimension">0 to 6.</param>
    /// <param name="shift">Shifts all points of a dimension alike (exclusive or of the digits), so that runs of different places do not err alike.</param>
    public static float At(int point, int dimension, uint shift = 0)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(point);
        var (bits, own) = (shift, Directions[dimension]);
        for (var (i, k) = ((uint)point, 0); i != 0; i >>= 1, k++)
        {
            bits ^= (i & 1) == 0 ? 0 : own[k];
        }

        // 24 bits: what a float holds without rounding up to 1.
        return (bits >> 8) * (1f / (1 << 24));
    }

    /// <summary>A shift for a dimension of a place's points: integer mixing after Wang (2007).</summary>
    public static uint Shift(int place, int dimension)
    {
        var h = ((uint)place * 2654435761u) ^ ((uint)dimension * 0x9E3779B9u);
        h = (h ^ 61u) ^ (h >> 16);
        h *= 9u;
        h ^= h >> 4;
        h *= 0x27d4eb2du;
        return h ^ (h >> 15);
    }

    private static uint[][] Make()
    {
        var all = new uint[Dimensions][];
        all[0] = [.. Enumerable.Range(0, 32).Select(k => 1u << (31 - k))];
        for (var d = 1; d < Dimensions; d++)
        {
            var (degree, inner, first) = Polynomials[d - 1];
            var v = all[d] = new uint[32];
            for (var k = 0; k < 32; k++)
            {
                if (k < degree)
                {
                    v[k] = first[k] << (31 - k);
                    continue;
                }

                v[k] = v[k - degree] ^ (v[k - degree] >> degree);
                for (var j = 1; j < degree; j++)
                {
                    v[k] ^= ((inner >> (degree - 1 - j)) & 1) != 0 ? v[k - j] : 0;
                }
            }
        }

        return all;
    }
}
