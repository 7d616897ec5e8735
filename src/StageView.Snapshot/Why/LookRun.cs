namespace StageView.Snapshot.Why;

/// <summary>The longest common subsequence of two rows of digests.</summary>
public static class LookRun
{
    /// <summary>Longest rows that are aligned exactly; longer ones are aligned in pieces of this length.</summary>
    private const int Most = 2000;

    /// <summary>Pairs of places, in order; empty digests match nothing.</summary>
    public static IReadOnlyList<(int A, int B)> Common(IReadOnlyList<string> a, IReadOnlyList<string> b)
    {
        ArgumentNullException.ThrowIfNull(a);
        ArgumentNullException.ThrowIfNull(b);
        var pairs = new List<(int, int)>();
        var (i0, j0) = (0, 0);
        while (i0 < a.Count && j0 < b.Count)
        {
            var (n, m) = (Math.Min(Most, a.Count - i0), Math.Min(Most, b.Count - j0));
            var before = pairs.Count;
            Piece(a, b, i0, j0, n, m, pairs);
            if (i0 + n == a.Count && j0 + m == b.Count)
            {
                break;
            }

            // The next piece starts after the last pair found, or after the whole piece when it had none.
            (i0, j0) = pairs.Count > before ? (pairs[^1].Item1 + 1, pairs[^1].Item2 + 1) : (i0 + n, j0 + m);
        }

        return pairs;
    }

    private static void Piece(IReadOnlyList<string> a, IReadOnlyList<string> b, int i0, int j0, int n, int m, List<(int A, int B)> pairs)
    {
        var length = new short[n + 1, m + 1];
        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = m - 1; j >= 0; j--)
            {
                length[i, j] = Same(a[i0 + i], b[j0 + j])
                    ? (short)(length[i + 1, j + 1] + 1)
                    : Math.Max(length[i + 1, j], length[i, j + 1]);
            }
        }

        for (int i = 0, j = 0; i < n && j < m;)
        {
            if (Same(a[i0 + i], b[j0 + j]))
            {
                pairs.Add((i0 + i++, j0 + j++));
            }
            else if (length[i + 1, j] >= length[i, j + 1])
            {
                i++;
            }
            else
            {
                j++;
            }
        }
    }

    private static bool Same(string a, string b) => a.Length > 0 && a == b;
}
