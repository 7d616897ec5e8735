namespace StageView.Rig.Source;

/// <summary>Finds the word someone probably meant.</summary>
public static class Nearest
{
    /// <summary>Longer words are not compared.</summary>
    private const int MaxLength = 40;

    private const int MaxWords = 2000;

    /// <summary>
    /// The nearest of <paramref name="words"/> (the first 2000) by edit distance (a swap of neighbours counts once), or null when none is near.
    /// </summary>
    public static string? Of(string typed, IEnumerable<string> words)
    {
        if (typed.Length > MaxLength)
        {
            return null;
        }

        string? best = null;
        var folded = Fold(typed);
        var bestDistance = Math.Max(1, typed.Length / 3) + 1;
        foreach (var w in words.Take(MaxWords))
        {
            if (Math.Abs(w.Length - typed.Length) >= bestDistance)
            {
                continue;
            }

            var d = Distance(folded, Fold(w), bestDistance);
            if (d < bestDistance)
            {
                bestDistance = d;
                best = w;
            }
        }

        return best;
    }

    /// <summary>": did you mean X?" or, where no word is near, what else shall stand there.</summary>
    public static string Hint(string typed, IEnumerable<string> words, string none = "") => Of(typed, words) is { } w ? $": did you mean \"{w}\"?" : none;

    /// <summary>The hint, then those that there are (the first 12), or that there are none.</summary>
    public static string Among(string typed, IReadOnlyCollection<string> words) => words.Count == 0 ? "; there are none"
        : $"{Hint(typed, words)}; there are {string.Join(", ", words.Take(12))}{(words.Count > 12 ? $" and {words.Count - 12} more" : "")}";

    private static string Fold(string s) => s.Replace("color", "colour", StringComparison.OrdinalIgnoreCase).ToUpperInvariant();

    /// <summary>Their distance, or <paramref name="most"/> where it is that or more: no further from the diagonal than that can lead back.</summary>
    private static int Distance(string a, string b, int most)
    {
        var before = new int[b.Length + 1];
        var last = new int[b.Length + 1];
        var now = new int[b.Length + 1];
        for (var j = 0; j <= b.Length; j++)
        {
            last[j] = j;
        }

        for (var i = 1; i <= a.Length; i++)
        {
            Array.Fill(now, most);
            now[0] = i;
            for (var j = Math.Max(1, i - most); j <= Math.Min(b.Length, i + most); j++)
            {
                var cost = a[i - 1] == b[j - 1] ? 0 : 1;
                now[j] = Math.Min(Math.Min(now[j - 1] + 1, last[j] + 1), last[j - 1] + cost);
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    now[j] = Math.Min(now[j], before[j - 2] + 1);
                }
            }

            (before, last, now) = (last, now, before);
        }

        return Math.Min(most, last[b.Length]);
    }
}
