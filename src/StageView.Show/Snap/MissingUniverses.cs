using StageView.Ground.Indices;
using StageView.Ground.Words;
using StageView.Rig.Pieces;

namespace StageView.Show.Snap;

/// <summary>Universes of a rig that only one of two captures has: one cause for all that its fixtures don't do.</summary>
internal sealed class MissingUniverses
{
    private readonly HashSet<int> _missing;
    private readonly RigScene _rig;

    public MissingUniverses(RigScene rig, IReadOnlySet<int> first, IReadOnlySet<int> second)
    {
        _rig = rig;
        var used = rig.Fixtures.SelectMany(Of).Distinct().Order().ToList();
        _missing = [.. used.Where(u => first.Contains(u) != second.Contains(u))];
        Words = [.. _missing.Select(u =>
            $"universe {u} is in the {(first.Contains(u) ? "first" : "second")} capture alone: "
            + $"{Counted.Of(rig.Fixtures.Count(f => Of(f).Contains(u)), "fixture takes levels from it", "fixtures take levels from it")}")];
    }

    /// <summary>A line a universe.</summary>
    public IReadOnlyList<string> Words { get; }

    /// <summary>Whether all that a fixture is told comes from such universes.</summary>
    public bool Explains(FixtureIndex fixture) => Of(_rig.Fixtures[fixture.Value]).ToList() is { Count: > 0 } all && all.TrueForAll(_missing.Contains);

    private static IEnumerable<int> Of(Fixture fixture) => fixture.Patch.SelectMany(p =>
    {
        var footprint = p.Break >= 1 && p.Break <= fixture.Mode.Footprints.Count ? fixture.Mode.Footprints[p.Break - 1] : 1;
        var (from, to) = (p.Start.Absolute / 512, (p.Start.Absolute + Math.Max(1, footprint) - 1) / 512);
        return Enumerable.Range(from + 1, to - from + 1);
    });
}
