using System.Globalization;

namespace StageView.Ground.Words;

/// <summary>Numbers of things in words: 0 beams, 1 beam, 2 beams.</summary>
public static class Counted
{
    /// <param name="n">How many there are.</param>
    /// <param name="one">The word for one of them.</param>
    /// <param name="several">The word for none or several; with an s at its end when left out.</param>
    public static string Of(long n, string one, string? several = null) =>
        string.Create(CultureInfo.InvariantCulture, $"{n} {(n == 1 ? one : several ?? one + "s")}");
}
