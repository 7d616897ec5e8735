using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>One address of the merge, source by source.</summary>
public sealed partial class UniverseMerger
{
    /// <summary>Every source of the address's universe with what it says of the address; empty when the universe was never heard.</summary>
    public IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address)
    {
        if (_universes.Find(u => u.Number == address.Universe) is not { } universe)
        {
            return [];
        }

        var i = address.Address - 1;
        Span<byte> ranks = stackalloc byte[LevelFold.Size];
        var ofAll = new int[universe.Sources.Count];
        var best = 0;
        uint latest = 0;
        for (var s = 0; s < ofAll.Length; s++)
        {
            var source = universe.Sources[s];
            if (source.Packets > 0)
            {
                source.Ranks(ranks);
                ofAll[s] = ranks[i];
                best = source.Ready ? Math.Max(best, ranks[i]) : best;
            }
        }

        for (var s = 0; s < ofAll.Length; s++)
        {
            var source = universe.Sources[s];
            latest = source.Ready && ofAll[s] == best && source.Stamps is { } stamps ? Math.Max(latest, stamps[i]) : latest;
        }

        var found = new List<AddressSource>();
        for (var s = 0; s < ofAll.Length; s++)
        {
            var source = universe.Sources[s];
            if (source.Packets == 0)
            {
                continue;
            }

            var health = HealthOf(source);
            var tied = source.Ready && best > 0 && ofAll[s] == best;
            var wins = tied && (universe.Tie == TieRule.Ltp && source.Stamps is { } own ? own[i] == latest : source.Levels[i] == universe.Merged[i]);
            found.Add(new AddressSource(
                source.Protocol, health.Label, health.Standing, Math.Max(0, ofAll[s] - 1), ofAll[s] > 0 ? source.Levels[i] : null, health.SecondsSinceSeen, source.Preview, wins));
        }

        return found;
    }
}
