using StageView.Wire.ArtNet;
using StageView.Wire.E131;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Health;

/// <summary>
/// Tells from look to look who began and who ceased to be heard. Where listening is begun anew, a source that was heard before counts as heard until
/// the time of loss of its protocol has passed without it. Bounded as the merger is.
/// </summary>
public sealed class SourceTurns
{
    private readonly Dictionary<(int Universe, string Source), (SourceHealth Health, SourceStanding Told)> _known = [];

    /// <param name="health">A look; the universes in it that are the reader's own may be left out.</param>
    /// <returns>What turned since the look before, universes of one source together; by the first universe.</returns>
    public IReadOnlyList<SourceTurn> Look(WireHealth health)
    {
        ArgumentNullException.ThrowIfNull(health);
        var turns = new List<(int Universe, string Source, SourceTurnKind Kind)>();
        var seen = new HashSet<(int, string)>();
        foreach (var universe in health.Universes)
        {
            foreach (var s in universe.Sources)
            {
                var key = (universe.Universe, s.Id);
                seen.Add(key);
                var told = _known.TryGetValue(key, out var before) ? before.Told : SourceStanding.Lost;
                if (s.Standing != told && !(IsGone(s.Standing) && IsGone(told)))
                {
                    turns.Add((universe.Universe, s.Label, Kind(s.Standing)));
                }

                _known[key] = (s, s.Standing);
            }
        }

        foreach (var (key, (last, told)) in _known.Where(k => !seen.Contains(k.Key)).ToList())
        {
            var loss = (last.Protocol == SourceProtocol.E131 ? E131Numbers.LossTimeout : ArtNetNumbers.LossTimeout).TotalSeconds;
            if (told == SourceStanding.Live && health.At < loss)
            {
                continue;
            }

            _known.Remove(key);
            if (!IsGone(told))
            {
                turns.Add((key.Universe, last.Label, SourceTurnKind.Stopped));
            }
        }

        return [.. turns.GroupBy(t => (t.Source, t.Kind))
            .Select(g => new SourceTurn(g.Key.Kind, g.Key.Source, [.. g.Select(t => t.Universe).Distinct().Order()]))
            .OrderBy(t => t.Universes[0])];
    }

    private static bool IsGone(SourceStanding standing) => standing is SourceStanding.Lost or SourceStanding.Ended;

    private static SourceTurnKind Kind(SourceStanding standing) => standing switch
    {
        SourceStanding.Live => SourceTurnKind.Sends,
        SourceStanding.Ended => SourceTurnKind.Ended,
        SourceStanding.Refused => SourceTurnKind.PreviewRefused,
        _ => SourceTurnKind.Stopped,
    };
}
