using System.Globalization;

namespace StageView.Wire.Health;

/// <summary>Writes addresses as ranges: <c>1-8, 12, 101-140</c>; universes in words: <c>1 to 4, 9</c>.</summary>
public static class AddressRanges
{
    /// <param name="addresses">Sorted, each once.</param>
    /// <param name="most">Ranges at most; the rest is counted.</param>
    public static string Write(IReadOnlyList<int> addresses, int most = 8)
    {
        var ranges = Ranges(addresses);
        var rest = ranges.Skip(most).Sum(r => r.To - r.From + 1);
        var text = string.Join(", ", ranges.Take(most).Select(r => r.To > r.From ? Invariant($"{r.From}-{r.To}") : Invariant($"{r.From}")));
        return rest > 0 ? text + Invariant($" and {rest} more") : text;
    }

    /// <param name="numbers">Sorted, each once.</param>
    public static string WriteInWords(IReadOnlyList<int> numbers) =>
        string.Join(", ", Ranges(numbers).Select(r => (r.To - r.From) switch
        {
            0 => Invariant($"{r.From}"),
            1 => Invariant($"{r.From}, {r.To}"),
            _ => Invariant($"{r.From} to {r.To}"),
        }));

    private static List<(int From, int To)> Ranges(IReadOnlyList<int> rising)
    {
        ArgumentNullException.ThrowIfNull(rising);
        var ranges = new List<(int From, int To)>();
        foreach (var n in rising)
        {
            if (ranges.Count > 0 && ranges[^1].To == n - 1)
            {
                ranges[^1] = (ranges[^1].From, n);
            }
            else
            {
                ranges.Add((n, n));
            }
        }

        return ranges;
    }

    private static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
