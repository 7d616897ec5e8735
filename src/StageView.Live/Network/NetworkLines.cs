using StageView.Live.Terms;
using StageView.Wire.Health;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Live.Network;

/// <summary>The network's health as lines of the page: nothing is counted or judged here.</summary>
internal static class NetworkLines
{
    /// <param name="health">A look; null while nothing is listened to.</param>
    /// <param name="patched">Fixtures by universe.</param>
    /// <param name="own">The universe that is our own sending.</param>
    /// <param name="found">What the same look found, each finding of one universe.</param>
    /// <returns>Faults first: what is lost, what is silent, what is fought over or otherwise wrong; then what is well, then what is patched nowhere.</returns>
    public static IReadOnlyList<UniverseLine> Of(WireHealth? health, IReadOnlyDictionary<int, int> patched, int own, IReadOnlyList<Finding> found)
    {
        var heard = (health?.Universes ?? []).Where(u => u.Sources.Count > 0).ToDictionary(u => u.Universe, u => u.Sources);
        var all = heard.Keys.Union(patched.Keys).Where(u => u != own).Order();
        var wrong = found.Where(f => f.Stands && f.Universe is not null).ToLookup(f => f.Universe!.Value);
        return [.. all.Select(u => Line(u, heard.GetValueOrDefault(u) ?? [], patched.GetValueOrDefault(u)) with
        {
            Wrong = wrong[u].Any(),
            Fought = wrong[u].Where(f => f.Kind == FindingKind.SourcesDisagree).Sum(f => f.Addresses.Count),
        }).OrderBy(Order).ThenBy(u => u.Universe)];
    }

    private static int Order(UniverseLine u) => u.State switch { "lost" => 0, "silent" => 1, "heard" => u.Wrong ? 2 : 3, _ => u.Wrong ? 2 : 4 };

    private static UniverseLine Line(int universe, IReadOnlyList<SourceHealth> sources, int fixtures)
    {
        var live = sources.Any(s => s.Standing == SourceStanding.Live);
        var gone = sources.Any(s => s.Standing is SourceStanding.Lost or SourceStanding.Ended);
        var state = live ? (fixtures > 0 ? "heard" : "unpatched") : gone ? "lost" : fixtures > 0 ? "silent" : "unpatched";
        return new UniverseLine(universe, state, Math.Round(sources.Where(s => s.Standing == SourceStanding.Live).Sum(s => s.PacketsPerSecond)), fixtures,
            [.. sources.OrderByDescending(s => s.Share.Wins).ThenByDescending(s => s.Priority).Select(Line)]);
    }

    private static SourceLine Line(SourceHealth s) => new(
        s.Name.Length > 0 ? s.Name : s.Host, s.Address, s.Protocol == SourceProtocol.ArtNet ? "Art-Net" : "sACN", s.Priority, Math.Round(s.PacketsPerSecond),
        FindingWords.State(s), s.Share.Wins > 0, s.Share.Wins, s.Share.Of, FindingWords.Share(s));
}
