using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Wire.Universes;

namespace StageView.Rig.Patching;

/// <summary>
/// Which fixtures an address belongs to, the one answer to that question. A fixture has the addresses that its mode takes
/// (<see cref="PatchFootprint.Occupied"/>): from the first to the last of each break, gaps between its channels included; of a pixel run that
/// goes on in the next universe, not those that it leaves free at a universe's end.
/// </summary>
public sealed class PatchLookup
{
    private readonly Dictionary<int, List<Stretch>> _byUniverse = [];
    private readonly Dictionary<FixtureIndex, SortedSet<int>> _universes = [];

    public PatchLookup(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        foreach (var fixture in rig.Fixtures)
        {
            foreach (var start in fixture.Patch)
            {
                foreach (var (from, count) in PatchFootprint.Occupied(fixture.Mode, start.Break, start.Start.Absolute))
                {
                    Add(fixture, from, from + count);
                }
            }
        }
    }

    /// <summary>Universes that some fixture has an address of, rising.</summary>
    public IReadOnlyList<int> Universes => [.. _byUniverse.Keys.Order()];

    /// <summary>The fixtures that have an address, in the rig's order: several where they share a patch.</summary>
    public IReadOnlyList<Fixture> At(UniverseAddress address) =>
        Of(address.Universe.Value, s => address.Address >= s.First && address.Address <= s.Last);

    /// <summary>The fixtures that have an address of a universe, in the rig's order.</summary>
    /// <param name="universe">Universe number; one that is none has no fixtures.</param>
    public IReadOnlyList<Fixture> In(int universe) => Of(universe, _ => true);

    /// <summary>The universes that a fixture has an address of, rising; none when it isn't patched.</summary>
    public IReadOnlyList<int> UniversesOf(Fixture fixture)
    {
        ArgumentNullException.ThrowIfNull(fixture);
        return [.. _universes.GetValueOrDefault(fixture.Index, [])];
    }

    /// <summary>Highest address of a universe that a fixture has, 1 to 512; 0 when there is none.</summary>
    public int Highest(int universe) => _byUniverse.TryGetValue(universe, out var stretches) ? stretches.Max(s => s.Last) : 0;

    private IReadOnlyList<Fixture> Of(int universe, Func<Stretch, bool> wanted) =>
        _byUniverse.TryGetValue(universe, out var stretches) ? [.. stretches.Where(wanted).Select(s => s.Fixture).Distinct()] : [];

    private void Add(Fixture fixture, int from, int to)
    {
        const int size = UniverseAddress.AddressesPerUniverse;
        while (from < to)
        {
            var end = Math.Min(to, ((from / size) + 1) * size);
            if (!_byUniverse.TryGetValue((from / size) + 1, out var stretches))
            {
                _byUniverse.Add((from / size) + 1, stretches = []);
            }

            if (!_universes.TryGetValue(fixture.Index, out var universes))
            {
                _universes.Add(fixture.Index, universes = []);
            }

            universes.Add((from / size) + 1);
            stretches.Add(new Stretch((from % size) + 1, ((end - 1) % size) + 1, fixture));
            from = end;
        }
    }

    /// <summary>Addresses of one universe, both ends included.</summary>
    private readonly record struct Stretch(int First, int Last, Fixture Fixture);
}
