using System.Globalization;

namespace StageView.Rig.Source;

/// <summary>Many names said shortly: "head 1 to 3" for three that follow each other, "ladder (2)" for two of one name.</summary>
internal static class NameRuns
{
    public static string Of(IReadOnlyList<string> names)
    {
        var said = new List<string>();
        foreach (var same in names.GroupBy(Stem))
        {
            if (same.Key.Length == 0)
            {
                said.AddRange(same.CountBy(n => n).Select(n => n.Value == 1 ? n.Key : string.Create(CultureInfo.InvariantCulture, $"{n.Key} ({n.Value})")));
                continue;
            }

            var numbers = same.Select(n => int.Parse(n.AsSpan(same.Key.Length), CultureInfo.InvariantCulture)).Distinct().Order().ToList();
            for (int i = 0, next; i < numbers.Count; i = next)
            {
                next = i + 1;
                while (next < numbers.Count && numbers[next] == numbers[next - 1] + 1)
                {
                    next++;
                }

                said.Add(string.Create(CultureInfo.InvariantCulture, $"{same.Key}{numbers[i]}{(next > i + 1 ? $" to {numbers[next - 1]}" : "")}"));
            }
        }

        return string.Join(", ", said);
    }

    /// <summary>What stands before the number that a name ends in, space included; empty where it ends in none.</summary>
    private static string Stem(string name)
    {
        var at = name.LastIndexOf(' ') + 1;
        return at > 1 && name.Length - at is > 0 and < 7 && name.AsSpan(at).IndexOfAnyExceptInRange('0', '9') < 0 && (name[at] != '0') ? name[..at] : "";
    }
}
