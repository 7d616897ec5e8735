using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Stage.Looks;

/// <summary>
/// Which fixtures a text means: names, numbers, groups and ranges of numbers, separated by commas (<c>spots, 101-106</c>); <c>all</c> is all.
/// </summary>
public static class FixtureSelection
{
    public static bool TryFind(RigScene rig, string text, out IReadOnlyList<Fixture> found, out string why)
    {
        var list = new List<Fixture>();
        why = "";
        var words = FixtureWords.Of(rig);
        foreach (var part in text.Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
        {
            var before = list.Count;
            list.AddRange(words.Of(part));
            if (list.Count == before && TryRange(part, out var from, out var to))
            {
                list.AddRange(words.Between(from, to));
            }

            if (list.Count == before)
            {
                var groups = rig.Fixtures.SelectMany(f => f.Groups).Distinct().Order(StringComparer.Ordinal);
                var hint = Nearest.Hint(part, groups.Concat(rig.Fixtures.Select(f => f.Name)));
                why = $"no fixture, number or group is called '{part}'{rig.WhereGone(part)}{hint}; the rig's groups are {string.Join(", ", groups)}";
                found = [];
                return false;
            }
        }

        found = [.. list.DistinctBy(f => f.Index).OrderBy(f => f.Index)];
        why = found.Count == 0 ? "names no fixture" : "";
        return found.Count > 0;
    }

    private static bool TryRange(string part, out int from, out int to)
    {
        to = 0;
        var dash = part.IndexOf('-', StringComparison.Ordinal);
        return int.TryParse(dash > 0 ? part.AsSpan(0, dash) : default, NumberStyles.None, CultureInfo.InvariantCulture, out from)
            && int.TryParse(part.AsSpan(dash + 1), NumberStyles.None, CultureInfo.InvariantCulture, out to);
    }
}
