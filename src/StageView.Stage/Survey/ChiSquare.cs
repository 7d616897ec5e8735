namespace StageView.Stage.Survey;

/// <summary>The chi-square distribution.</summary>
public static class ChiSquare
{
    /// <summary>What a sum of squares exceeds once in a thousand, by the cube-root approximation of Wilson and Hilferty (1931).</summary>
    /// <param name="freedom">Degrees of freedom, 1 at least.</param>
    public static double OnceInAThousand(int freedom)
    {
        // The standard normal distribution exceeds 3.0902 once in a thousand.
        var spread = 2.0 / (9 * freedom);
        return freedom * Math.Pow(1 - spread + (3.0902 * Math.Sqrt(spread)), 3);
    }
}
