using StageView.Wire.E131;
using StageView.Wire.Tallies;

namespace StageView.Wire.Levels;

/// <summary>The merge read backwards: whose level is in force where. Asked for between packets; it uses the buffers of the merge.</summary>
public sealed partial class UniverseMerger
{
    /// <summary>Whether a source is worth telling of: its levels came, or its preview is being refused.</summary>
    private bool IsKnown(SourceState source) => source.Packets > 0 || IsRefusedNow(source);

    private bool IsRefusedNow(SourceState source) => source.PreviewRefused > 0 && _now - source.LastRefused < E131Numbers.LossTimeout;

    private SourceStanding StandingOf(SourceState source) =>
        source.Live ? SourceStanding.Live
        : IsRefusedNow(source) ? SourceStanding.Refused
        : source.Terminated ? SourceStanding.Ended
        : SourceStanding.Lost;

    /// <summary>The share of each known source, in the order of the universe.</summary>
    private SourceShare[] SharesOf(UniverseState universe)
    {
        var sources = universe.Sources;
        var merged = sources.Count(s => s.InMerge);
        if (merged > 1 || sources.Exists(s => s.InMerge && s.HasPriorities))
        {
            Rank(universe);
        }

        return [.. sources.Where(IsKnown).Select(s => s.InMerge ? MergedShare(universe, s, merged == 1) : UnmergedShare(s))];
    }

    private SourceShare MergedShare(UniverseState universe, SourceState source, bool alone)
    {
        var (wins, of, tied) = (source.Slots, source.Slots, 0);
        if (!alone || source.HasPriorities)
        {
            (wins, of) = (0, 0);
            source.Ranks(_ranks);
            for (var i = 0; i < source.Slots; i++)
            {
                of += _ranks[i] > 0 ? 1 : 0;
                wins += IsInForce(universe, source, i) ? 1 : 0;
                tied += _ranks[i] > 0 && _ranks[i] == _best[i] ? 1 : 0;
            }
        }

        var use = !source.Live ? SourceUse.Held : wins > 0 ? SourceUse.InForce : SourceUse.Ignored;
        var why = use switch
        {
            SourceUse.InForce => UnusedReason.None,
            SourceUse.Held => WhyNotLive(source),
            _ when of == 0 => UnusedReason.PrioritiesZero,
            _ when tied == 0 => UnusedReason.LowerPriority,
            _ => universe.Tie == TieRule.Ltp ? UnusedReason.OlderLevel : UnusedReason.LowerLevel,
        };
        return new SourceShare(use, wins, of, why);
    }

    private SourceShare UnmergedShare(SourceState source)
    {
        var why = !source.Live ? WhyNotLive(source)
            : source.PendingFor is not null ? UnusedReason.WaitsForSynchronisation
            : !source.HasLevels ? UnusedReason.NoLevels
            : UnusedReason.WaitsForPriorities;
        return new SourceShare(source.Live || IsRefusedNow(source) ? SourceUse.Ignored : SourceUse.Gone, 0, 0, why);
    }

    private UnusedReason WhyNotLive(SourceState source) => StandingOf(source) switch
    {
        SourceStanding.Refused => UnusedReason.PreviewRefused,
        SourceStanding.Ended => UnusedReason.Ended,
        _ => UnusedReason.Silent,
    };

    /// <summary>The highest rank of the sources that the levels in force came from, and with LTP the newest stamp at that rank.</summary>
    private void Rank(UniverseState universe)
    {
        _best.AsSpan().Clear();
        _latest.AsSpan().Clear();
        foreach (var source in universe.Sources)
        {
            if (!source.InMerge)
            {
                continue;
            }

            source.Ranks(_ranks);
            for (var i = 0; i < source.Slots; i++)
            {
                var stamp = source.Stamps is { } stamps ? stamps[i] : 0;
                if (_ranks[i] > _best[i])
                {
                    (_best[i], _latest[i]) = (_ranks[i], stamp);
                }
                else if (_ranks[i] == _best[i])
                {
                    _latest[i] = Math.Max(_latest[i], stamp);
                }
            }
        }
    }

    /// <summary>After <see cref="Rank"/>, and with the source's ranks in the buffer.</summary>
    private bool IsInForce(UniverseState universe, SourceState source, int i) =>
        source.InMerge && _ranks[i] > 0 && _ranks[i] == _best[i]
        && (universe.Tie == TieRule.Ltp && source.Stamps is { } stamps ? stamps[i] == _latest[i] : source.Levels[i] == universe.Merged[i]);
}
