using StageView.Wire.E131;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Health;

/// <summary>What a sender does beside what it says, and by which protocols a universe comes.</summary>
internal static class SenderRules
{
    // A sender that began a universe has two discoveries to name it; an older list than two says nothing any more.
    private static readonly double s_toOffer = 1.2 * E131Numbers.DiscoveryInterval.TotalSeconds;
    private static readonly double s_offerHolds = 2 * E131Numbers.DiscoveryInterval.TotalSeconds;

    /// <summary>Adds what stands out in a universe.</summary>
    public static void Find(List<Finding> found, UniverseHealth universe, IReadOnlyList<SenderHealth> senders, bool used)
    {
        var live = universe.Sources.Where(s => s.Standing == SourceStanding.Live).ToArray();
        Finding Of(FindingKind kind, bool stands, params string[] sources) =>
            new() { Kind = kind, Stands = stands, Universes = [universe.Universe], Sources = sources };
        var artNet = live.FirstOrDefault(s => s.Protocol == SourceProtocol.ArtNet);
        if (artNet is not null && live.FirstOrDefault(s => s.Protocol == SourceProtocol.E131) is { } e131)
        {
            found.Add(Of(FindingKind.TwoProtocols, false, e131.Label, artNet.Label));
        }

        foreach (var s in live)
        {
            if (s.PrioritiesIgnored > 0)
            {
                found.Add(Of(FindingKind.PrioritiesIgnored, false, s.Label));
            }

            // Heard all the while, but without levels for as long as a source may be silent.
            var loss = E131Numbers.LossTimeout.TotalSeconds;
            if (s.Protocol == SourceProtocol.E131 && s.SecondsLive > loss && s.SecondsSinceLevels > loss && s.SecondsSinceSeen < loss)
            {
                var others = live.Any(o => o != s && o.Slots > 0);
                found.Add(Of(FindingKind.NoLevels, used && !others, s.Label) with { Seconds = s.SecondsSinceLevels });
            }

            if (s.Cid is { } cid && senders.FirstOrDefault(x => x.Cid == cid) is { Offers: { } offers, SecondsSinceOffers: { } since } && since <= s_offerHolds
                && s.SecondsLive - since >= s_toOffer && !offers.Contains(universe.Universe))
            {
                found.Add(Of(FindingKind.NotOffered, false, s.Label));
            }
        }
    }
}
