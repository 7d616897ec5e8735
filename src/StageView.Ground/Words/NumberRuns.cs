using System.Globalization;

namespace StageView.Ground.Words;

/// <summary>Numbers of fixtures that lie on one another in a drawing, written shortly: 101-103 107.</summary>
public static class NumberRuns
{
    public static string Of(IEnumerable<string> labels)
    {
        var all = labels.ToList();
        var numbers = all.Select(l => int.TryParse(l, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : -1).ToList();
        var named = all.Where((_, i) => numbers[i] < 0).Distinct();
        var runs = new List<string>();
        var sorted = numbers.Where(n => n >= 0).Distinct().Order().ToList();
        for (var i = 0; i < sorted.Count;)
        {
            var end = i;
            while (end + 1 < sorted.Count && sorted[end + 1] == sorted[end] + 1)
            {
                end++;
            }

            var last = end == i ? "" : string.Create(CultureInfo.InvariantCulture, $"{(end == i + 1 ? " " : "-")}{sorted[end]}");
            runs.Add(string.Create(CultureInfo.InvariantCulture, $"{sorted[i]}{last}"));
            i = end + 1;
        }

        return string.Join(' ', runs.Concat(named));
    }
}
