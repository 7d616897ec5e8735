using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Health;

/// <summary>
/// How often packets come, beside what is asked: E1.31 no more than a line of DMX512 carries (§6.6.1) and one each 0.8 to 1 s at least (§6.6.2);
/// Art-Net 44 a second at most and one each 4 s at least (common practice of its nodes, from memory). Thresholds are common practice, no source: wide
/// enough that a healthy sender on a busy machine is left in peace.
/// </summary>
internal static class PaceRules
{
    /// <summary>Time over which a rate is judged, s.</summary>
    private const double RateSeconds = 8;

    private const double TooHigh = 1.1;
    private const double LeastE131 = .75;
    private const double LeastArtNet = .2;
    private const double ArtNetSeconds = 30;
    private const double BunchedShare = .4;
    private const int Bunches = 40;
    private const int Doubles = 4;

    // One in two comes again; those that come much later are among the packets, too.
    private const int DoubledShare = 3;
    private const int Flaps = 6;

    /// <summary>Adds what stands out in a universe.</summary>
    public static void Find(List<Finding> found, UniverseHealth universe, bool used)
    {
        foreach (var s in universe.Sources)
        {
            if (s.Pace is not { } pace || s.Standing is SourceStanding.Ended or SourceStanding.Refused)
            {
                continue;
            }

            Finding Of(FindingKind kind, bool stands) => new() { Kind = kind, Stands = stands, Universes = [universe.Universe], Sources = [s.Label] };

            // Two senders with one CID are told as that.
            var doubled = s.SharedBy.Count == 0 && pace.Again >= Doubles && DoubledShare * pace.Again >= pace.Packets;
            if (doubled)
            {
                found.Add(Of(FindingKind.Doubled, used) with
                {
                    Count = pace.Again,
                    Of = pace.Packets,
                    WithinSeconds = Math.Round(pace.Seconds),
                    Held = 2 * pace.Later >= pace.Again,
                });
            }

            if (pace.PriorityChanges >= Flaps)
            {
                var several = universe.Sources.Count(o => o.Standing == SourceStanding.Live) > 1;
                found.Add(Of(FindingKind.PriorityFlaps, used && several) with
                {
                    Count = pace.PriorityChanges,
                    WithinSeconds = Math.Round(pace.MinuteSeconds),
                    Priority = s.Priority,
                });
            }

            Rates(found, s, pace, doubled || s.SharedBy.Count > 0, Of);
        }
    }

    private static void Rates(List<Finding> found, SourceHealth s, SourcePace pace, bool mixed, Func<FindingKind, bool, Finding> of)
    {
        if (pace.Seconds < RateSeconds)
        {
            return;
        }

        var most = 1 / LineRate.FrameSeconds(s.Protocol == SourceProtocol.ArtNet ? 512 : s.Slots);
        var rate = pace.Levels / pace.Seconds;
        if (rate > TooHigh * most && !mixed)
        {
            found.Add(of(FindingKind.RateTooHigh, false) with { PerSecond = Math.Round(rate), Asked = Math.Floor(most) });
        }

        var (seconds, levels, least) = s.Protocol == SourceProtocol.ArtNet ? (pace.MinuteSeconds, pace.MinuteLevels, LeastArtNet)
            : (pace.Seconds, pace.Levels, LeastE131);
        if (levels >= 2 && levels < least * seconds && (s.Protocol != SourceProtocol.ArtNet || seconds >= ArtNetSeconds))
        {
            found.Add(of(FindingKind.RateTooLow, false) with
            {
                PerSecond = Math.Round(levels / seconds, 2),
                Asked = s.Protocol == SourceProtocol.ArtNet ? .25 : 1,
            });
        }

        if (pace.Levels >= Bunches && pace.Bunched > BunchedShare * pace.Levels && rate <= TooHigh * most && !mixed)
        {
            found.Add(of(FindingKind.Ragged, false) with { Count = pace.Bunched, Of = pace.Levels, WithinSeconds = Math.Round(pace.Seconds) });
        }
    }
}
