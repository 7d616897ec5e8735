using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>One address of the merge, source by source.</summary>
public sealed partial class UniverseMerger
{
    /// <summary>Every source of the address's universe with what it says of the address; empty when the universe was never heard.</summary>
    public IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address)
    {
        if (Find(address.Universe) is not { } universe)
        {
            return [];
        }

        var i = address.Address - 1;
        var shares = SharesOf(universe);
        var known = universe.Sources.Where(IsKnown).ToArray();
        Rank(universe);
        var found = new List<AddressSource>();
        for (var s = 0; s < known.Length; s++)
        {
            var source = known[s];
            var health = HealthOf(source, shares[s]);
            source.Ranks(_ranks);
            var rank = _ranks[i];
            found.Add(new AddressSource(
                source.Protocol, health.Label, health.Standing, Math.Max(0, rank - 1), rank > 0 ? source.Levels[i] : null,
                health.SecondsSinceSeen, source.Preview,
                IsInForce(universe, source, i)));
        }

        return found;
    }
}
