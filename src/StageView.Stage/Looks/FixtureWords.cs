using System.Globalization;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using StageView.Rig.Pieces;

namespace StageView.Stage.Looks;

/// <summary>What a rig's fixtures are called: names, numbers and groups, each with those it means, in the rig's order. Made once for each rig.</summary>
internal sealed class FixtureWords
{
    private static readonly ConditionalWeakTable<RigScene, FixtureWords> Known = [];

    private readonly IReadOnlyList<Fixture> _all;
    private readonly Dictionary<string, List<Fixture>> _means = new(StringComparer.OrdinalIgnoreCase);
    private readonly (int Number, Fixture Fixture)[] _numbered;

    private FixtureWords(RigScene rig)
    {
        _all = rig.Fixtures;
        foreach (var fixture in _all)
        {
            foreach (var word in fixture.Groups.Append(fixture.Name).Append(fixture.Number).Where(w => w.Length > 0))
            {
                ref var those = ref CollectionsMarshal.GetValueRefOrAddDefault(_means, word, out _);
                those ??= [];
                if (those.Count == 0 || those[^1] != fixture)
                {
                    those.Add(fixture);
                }
            }
        }

        _numbered = [.. _all
            .Select(f => (int.TryParse(f.Number, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : -1, f))
            .Where(x => x.Item1 >= 0).OrderBy(x => x.Item1)];
    }

    /// <summary>The words of a rig's fixtures.</summary>
    public static FixtureWords Of(RigScene rig) => Known.GetValue(rig, r => new FixtureWords(r));

    /// <summary>Fixtures that a name, number or group means; <c>all</c> is all. Empty where there is none.</summary>
    public IReadOnlyList<Fixture> Of(string word) =>
        word.Equals("all", StringComparison.OrdinalIgnoreCase) ? _all : _means.TryGetValue(word, out var those) ? those : [];

    /// <summary>Fixtures whose number lies in a range, both ends counted.</summary>
    public IEnumerable<Fixture> Between(int from, int to)
    {
        var (low, high) = (0, _numbered.Length);
        while (low < high)
        {
            var middle = (low + high) / 2;
            (low, high) = _numbered[middle].Number < from ? (middle + 1, high) : (low, middle);
        }

        for (var i = low; i < _numbered.Length && _numbered[i].Number <= to; i++)
        {
            yield return _numbered[i].Fixture;
        }
    }
}
