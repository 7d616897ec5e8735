using System.Globalization;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>
/// Pairs what is left of two captures' changes when equal looks are paired already: in order, by which channels move, the cue's name, the timecode, and the
/// time beside the neighbours. The best pairing as a whole (Needleman and Wunsch 1970); what is like nothing stays alone.
/// </summary>
internal static class ChangeAlignment
{
    /// <summary>A pair must be worth so much; the same channels alone, or the same name alone, are.</summary>
    private const double Least = 0.7;

    /// <summary>Timecode labels nearer than this say the same moment, s: three frames at 25 a second, rounded up.</summary>
    private const double SameLabel = 0.15;

    /// <summary>Largest table worked out; beyond it only names pair.</summary>
    private const long MostCells = 4_000_000;

    public static IReadOnlyList<(ChangeRecord? A, ChangeRecord? B)> Of(IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after, double delay)
    {
        if (before.Count == 0 || after.Count == 0 || (long)before.Count * after.Count > MostCells)
        {
            return before.Count == 0 || after.Count == 0 ? Alone(before, after)
                : Laid(before, after, LookRun.Common([.. before.Select(c => c.Name ?? "")], [.. after.Select(c => c.Name ?? "")]));
        }

        var (n, m) = (before.Count, after.Count);
        var best = new double[n + 1, m + 1];
        for (var i = n - 1; i >= 0; i--)
        {
            for (var j = m - 1; j >= 0; j--)
            {
                best[i, j] = Math.Max(Math.Max(best[i + 1, j], best[i, j + 1]), best[i + 1, j + 1] + Worth(before[i], after[j], delay));
            }
        }

        var pairs = new List<(int, int)>();
        for (int i = 0, j = 0; i < n && j < m;)
        {
            var worth = Worth(before[i], after[j], delay);
            if (worth > 0 && best[i, j] == best[i + 1, j + 1] + worth)
            {
                pairs.Add((i++, j++));
            }
            else if (best[i, j] == best[i + 1, j])
            {
                i++;
            }
            else
            {
                j++;
            }
        }

        return Laid(before, after, pairs);
    }

    /// <summary>How likely two changes are the same one, beyond what a pair must be worth.</summary>
    private static double Worth(ChangeRecord a, ChangeRecord b, double delay)
    {
        var name = a.Name is null || b.Name is null ? 0 : a.Name == b.Name ? 1 : -0.5;
        var label = Seconds(a.Timecode) is { } x && Seconds(b.Timecode) is { } y && Math.Abs(x - y) <= SameLabel ? 0.6 : 0;
        var near = 0.3 * Math.Max(0, 1 - Math.Abs(b.Start - a.Start - delay));
        return Alike(a.Shape, b.Shape) + name + label + near - (a.IsFlash == b.IsFlash ? 0 : 0.2) - Least;
    }

    /// <summary>About which share of all channels that either moves both move, 0 to 1.</summary>
    private static double Alike(string a, string b)
    {
        if (a.Length == 0 || a.Length != b.Length)
        {
            return 0;
        }

        var same = 0;
        for (var i = 0; i < a.Length; i += 2)
        {
            same += a[i] == b[i] && a[i + 1] == b[i + 1] ? 1 : 0;
        }

        return 2.0 * same / a.Length;
    }

    /// <summary>A label as seconds, frames as hundredths: near enough to tell whether two are the same moment.</summary>
    private static double? Seconds(string? label)
    {
        var parts = label?.Split(':', ';', '.');
        if (parts?.Length != 4)
        {
            return null;
        }

        Span<int> n = stackalloc int[4];
        for (var i = 0; i < 4; i++)
        {
            if (!int.TryParse(parts[i], NumberStyles.None, CultureInfo.InvariantCulture, out n[i]))
            {
                return null;
            }
        }

        return (3600.0 * n[0]) + (60 * n[1]) + n[2] + (n[3] / 30.0);
    }

    private static List<(ChangeRecord?, ChangeRecord?)> Alone(IEnumerable<ChangeRecord> before, IEnumerable<ChangeRecord> after) =>
        [.. before.Select(a => ((ChangeRecord?)a, (ChangeRecord?)null)), .. after.Select(b => ((ChangeRecord?)null, (ChangeRecord?)b))];

    private static List<(ChangeRecord?, ChangeRecord?)> Laid(
        IReadOnlyList<ChangeRecord> before, IReadOnlyList<ChangeRecord> after, IEnumerable<(int A, int B)> pairs)
    {
        var all = new List<(ChangeRecord?, ChangeRecord?)>();
        var (i, j) = (0, 0);
        foreach (var (a, b) in pairs.Append((before.Count, after.Count)))
        {
            all.AddRange(Alone(before.Skip(i).Take(a - i), after.Skip(j).Take(b - j)));
            if (a < before.Count)
            {
                all.Add((before[a], after[b]));
            }

            (i, j) = (a + 1, b + 1);
        }

        return all;
    }
}
