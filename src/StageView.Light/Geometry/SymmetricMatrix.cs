namespace StageView.Light.Geometry;

/// <summary>Small symmetric matrices.</summary>
public static class SymmetricMatrix
{
    /// <summary>Eigenvalues, the largest first, and their unit vectors as columns, by Jacobi's rotations (1846).</summary>
    /// <param name="matrix">n by n, symmetric; not changed.</param>
    public static (double[] Values, double[,] Vectors) Eigen(double[,] matrix)
    {
        var n = matrix.GetLength(0);
        var a = (double[,])matrix.Clone();
        var v = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            v[i, i] = 1;
        }

        for (var sweep = 0; sweep < 60 && OffDiagonal(a) > 0; sweep++)
        {
            for (var p = 0; p < n; p++)
            {
                for (var q = p + 1; q < n; q++)
                {
                    Rotate(a, v, p, q);
                }
            }
        }

        var order = Enumerable.Range(0, n).OrderByDescending(i => a[i, i]).ToArray();
        var vectors = new double[n, n];
        for (var c = 0; c < n; c++)
        {
            for (var r = 0; r < n; r++)
            {
                vectors[r, c] = v[r, order[c]];
            }
        }

        return ([.. order.Select(i => a[i, i])], vectors);
    }

    /// <summary>The inverse by Cholesky's factors; null where the matrix isn't positive definite.</summary>
    public static double[,]? Inverse(double[,] matrix)
    {
        var n = matrix.GetLength(0);
        if (Cholesky(matrix) is not { } l)
        {
            return null;
        }

        var inverse = new double[n, n];
        for (var c = 0; c < n; c++)
        {
            var unit = new double[n];
            unit[c] = 1;
            var x = Solve(l, unit);
            for (var r = 0; r < n; r++)
            {
                inverse[r, c] = x[r];
            }
        }

        return inverse;
    }

    /// <summary>The x of matrix · x = right; null where the matrix isn't positive definite.</summary>
    public static double[]? Solve(double[,] matrix, double[] right, double damping)
    {
        var damped = (double[,])matrix.Clone();
        for (var i = 0; i < right.Length; i++)
        {
            damped[i, i] *= 1 + damping;
        }

        return Cholesky(damped) is { } l ? Solve(l, right) : null;
    }

    /// <summary>The lower factor L of L · Lᵀ; null where the matrix isn't positive definite.</summary>
    public static double[,]? Cholesky(double[,] matrix)
    {
        var n = matrix.GetLength(0);
        var l = new double[n, n];
        for (var r = 0; r < n; r++)
        {
            for (var c = 0; c <= r; c++)
            {
                var sum = matrix[r, c];
                for (var k = 0; k < c; k++)
                {
                    sum -= l[r, k] * l[c, k];
                }

                if (r == c && !(sum > 0))
                {
                    return null;
                }

                l[r, c] = r == c ? Math.Sqrt(sum) : sum / l[c, c];
            }
        }

        return l;
    }

    private static double[] Solve(double[,] l, double[] right)
    {
        var n = right.Length;
        var x = (double[])right.Clone();
        for (var r = 0; r < n; r++)
        {
            for (var k = 0; k < r; k++)
            {
                x[r] -= l[r, k] * x[k];
            }

            x[r] /= l[r, r];
        }

        for (var r = n - 1; r >= 0; r--)
        {
            for (var k = r + 1; k < n; k++)
            {
                x[r] -= l[k, r] * x[k];
            }

            x[r] /= l[r, r];
        }

        return x;
    }

    private static double OffDiagonal(double[,] a)
    {
        double sum = 0;
        for (var p = 0; p < a.GetLength(0); p++)
        {
            for (var q = p + 1; q < a.GetLength(0); q++)
            {
                sum += Math.Abs(a[p, q]);
            }
        }

        return sum;
    }

    private static void Rotate(double[,] a, double[,] v, int p, int q)
    {
        if (a[p, q] == 0)
        {
            return;
        }

        var theta = (a[q, q] - a[p, p]) / (2 * a[p, q]);
        var t = double.IsFinite(theta * theta) ? (theta < 0 ? -1 : 1) / (Math.Abs(theta) + Math.Sqrt((theta * theta) + 1)) : 1 / (2 * theta);
        var c = 1 / Math.Sqrt((t * t) + 1);
        var s = t * c;
        for (var k = 0; k < a.GetLength(0); k++)
        {
            (a[k, p], a[k, q]) = ((c * a[k, p]) - (s * a[k, q]), (s * a[k, p]) + (c * a[k, q]));
        }

        for (var k = 0; k < a.GetLength(0); k++)
        {
            (a[p, k], a[q, k]) = ((c * a[p, k]) - (s * a[q, k]), (s * a[p, k]) + (c * a[q, k]));
            (v[k, p], v[k, q]) = ((c * v[k, p]) - (s * v[k, q]), (s * v[k, p]) + (c * v[k, q]));
        }

        a[p, q] = a[q, p] = 0;
    }
}
