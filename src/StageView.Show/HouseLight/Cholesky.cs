namespace StageView.Show.HouseLight;

/// <summary>Solves symmetric, positive definite equations (Cholesky's decomposition; Golub and Van Loan, Matrix Computations).</summary>
internal static class Cholesky
{
    /// <summary>The solution of A·x = b for some of the unknowns, all others left out.</summary>
    /// <param name="a">The whole matrix.</param>
    /// <param name="b">The whole right side.</param>
    /// <param name="rows">Which unknowns, in order; the answer has one for each.</param>
    public static double[] Solve(double[,] a, double[] b, int[] rows)
    {
        var n = rows.Length;
        var l = new double[n, n];
        for (var i = 0; i < n; i++)
        {
            for (var j = 0; j <= i; j++)
            {
                var sum = a[rows[i], rows[j]];
                for (var k = 0; k < j; k++)
                {
                    sum -= l[i, k] * l[j, k];
                }

                l[i, j] = i == j ? Math.Sqrt(Math.Max(sum, 1e-12)) : sum / l[j, j];
            }
        }

        var x = new double[n];
        for (var i = 0; i < n; i++)
        {
            var sum = b[rows[i]];
            for (var k = 0; k < i; k++)
            {
                sum -= l[i, k] * x[k];
            }

            x[i] = sum / l[i, i];
        }

        for (var i = n - 1; i >= 0; i--)
        {
            var sum = x[i];
            for (var k = i + 1; k < n; k++)
            {
                sum -= l[k, i] * x[k];
            }

            x[i] = sum / l[i, i];
        }

        return x;
    }
}
