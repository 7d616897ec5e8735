using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>Single addresses of the merge, source by source.</summary>
public sealed partial class UniverseMerger
{
    /// <summary>Every source of the address's universe with what it says of the address; empty when the universe was never heard.</summary>
    public IReadOnlyList<AddressSource> SourcesOf(UniverseAddress address) => SourcesOf([address])[0];

    /// <summary>The same of many addresses, in their order; sources stand in the same order at all addresses of a universe.</summary>
    public IReadOnlyList<IReadOnlyList<AddressSource>> SourcesOf(IReadOnlyList<UniverseAddress> addresses)
    {
        ArgumentNullException.ThrowIfNull(addresses);
        var found = new IReadOnlyList<AddressSource>[addresses.Count];
        foreach (var places in Enumerable.Range(0, addresses.Count).GroupBy(i => addresses[i].Universe))
        {
            var universe = Find(places.Key);
            var known = universe?.Sources.Where(IsKnown).ToArray() ?? [];
            var lists = places.Select(i => (At: addresses[i].Address - 1, Sources: new AddressSource[known.Length])).ToArray();
            foreach (var (i, list) in places.Zip(lists))
            {
                found[i] = list.Sources;
            }

            if (universe is null)
            {
                continue;
            }

            var healths = known.Zip(SharesOf(universe), HealthOf).ToArray();
            var fought = Disagreements(universe);
            Rank(universe);
            for (var s = 0; s < known.Length; s++)
            {
                known[s].Ranks(_ranks);
                foreach (var (at, sources) in lists)
                {
                    sources[s] = SourceAt(universe, known[s], healths[s], at, fought);
                }
            }
        }

        return found;
    }

    /// <summary>After <see cref="Rank"/>, and with the source's ranks in the buffer.</summary>
    private AddressSource SourceAt(UniverseState universe, SourceState source, SourceHealth health, int i, List<int> fought)
    {
        var rank = _ranks[i];
        var wins = IsInForce(universe, source, i);
        return new AddressSource(
            source.Protocol, health.Label, health.Standing, Math.Max(0, rank - 1), rank > 0 ? source.Levels[i] : null, health.SecondsSinceSeen, source.Preview,
            wins)
        {
            Id = health.Id,
            Name = health.Name,
            Host = health.Host,
            PerAddressPriority = source.HasPriorities,
            Why = !source.Live ? WhyNotLive(source)
                : wins ? UnusedReason.None
                : !source.InMerge ? UnmergedShare(source).Why
                : rank == 0 ? (i >= source.Slots ? UnusedReason.NotSent : UnusedReason.PrioritiesZero)
                : rank < _best[i] ? UnusedReason.LowerPriority
                : universe.Tie == TieRule.Ltp ? UnusedReason.OlderLevel : UnusedReason.LowerLevel,
            Fights = source.Ready && rank > 0 && rank == _best[i] && fought.Contains(i + 1),
        };
    }
}
