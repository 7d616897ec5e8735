using System.Globalization;
using StageView.Ground.Words;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;
using StageView.Stage.Changes;

namespace StageView.Show.Snap;

/// <summary>What the comparison of two captures found.</summary>
/// <param name="Alignment">How times were matched, in words.</param>
/// <param name="Timing">Changes that come at other times.</param>
/// <param name="Partings">Where the states differ.</param>
/// <param name="Looked">How many times were looked at.</param>
public sealed record ShowsAnswer(string Alignment, IReadOnlyList<TimingChange> Timing, IReadOnlyList<Parting> Partings, int Looked)
{
    public bool IsDifference => Partings.Count > 0 || Timing.Count > 0;
}

/// <summary>Compares two captures on one rig without drawing.</summary>
public static class ShowsRun
{
    private const double FirstWords = 0.05;

    public static ShowsAnswer Run(string rigFile, string first, string second, string align, double step, string? venue = null, Action<string>? tell = null)
    {
        foreach (var capture in new[] { first, second })
        {
            if (!File.Exists(capture))
            {
                throw StopException.Wrong($"there is no capture file at {capture}");
            }
        }

        var rig = RigFiles.Open(rigFile, venue, tell: tell);
        var (a, b) = (CaptureChanges.Find(rig, first), CaptureChanges.Find(rig, second));
        var (recordsA, recordsB) = (a.Records(first), b.Records(second));
        var (map, words) = Align(align, first, second, a, b, recordsA, recordsB);
        using var showA = new CaptureShow(rig, first);
        using var showB = new CaptureShow(rig, second);
        var comparison = new ShowComparison(showA.Stage, showB.Stage, map);
        var looked = 0;
        for (var t = 0.0; t <= a.End.TotalSeconds; t = ++looked * step)
        {
            var u = map.ToSecond(t);
            // At its very first instant a capture has told nothing yet.
            if (u < 0 || u > b.End.TotalSeconds + step || (Math.Min(t, u) < FirstWords && Math.Abs(t - u) > FirstWords))
            {
                continue;
            }

            showA.FeedTo(TimeSpan.FromSeconds(t));
            showB.FeedTo(TimeSpan.FromSeconds(u));
            comparison.Look(t, step);
        }

        // By timecode or by the clock a change that moved is a finding; aligned by cue or best match, only what moves against the rest is.
        return new ShowsAnswer(words, Shifted(TimingDiff.Of(recordsA, recordsB), map), comparison.Finish(), looked);
    }

    private static IReadOnlyList<TimingChange> Shifted(IReadOnlyList<TimingChange> timing, TimeMap map) =>
        map.Pieces > 1 ? timing : [.. timing.Where(t => t.Before is null || t.After is null
            || Math.Abs(map.ToSecond(t.Before.Start) - t.After.Start) > TimingDiff.LeastSeconds * 2
            || Math.Abs(t.After.Settled - t.After.Start - (t.Before.Settled - t.Before.Start)) > TimingDiff.LeastSeconds)];

    private static (TimeMap Map, string Words) Align(
        string align, string first, string second, CaptureChanges a, CaptureChanges b, IReadOnlyList<ChangeRecord> recordsA,
        IReadOnlyList<ChangeRecord> recordsB)
    {
        switch (align)
        {
            case "time":
                return (TimeMap.Same, "by time since the start of each capture");
            case "timecode" or "auto":
                var (ta, tb) = (CaptureTimecode.Read(first), CaptureTimecode.Read(second));
                if (!ta.IsEmpty && !tb.IsEmpty)
                {
                    return (TimeMap.FromPairs(ta.PairsWith(tb)), "by timecode");
                }

                if (align == "timecode")
                {
                    throw StopException.Wrong(
                        $"{(ta.IsEmpty ? first : second)} carries no timecode (ArtTimeCode, or linear timecode beside it): align by cue, best or time");
                }

                return Best(a, b);
            case "cue":
                var pairs = TimingDiff.Pair(recordsA, recordsB).Where(p => p.A is not null && p.B is not null).Select(p => (p.A!.Start, p.B!.Start)).ToList();
                return pairs.Count > 0
                    ? (TimeMap.FromPairs(pairs), $"by {Counted.Of(pairs.Count, "change")} that both captures have")
                    : throw StopException.Wrong("the two captures have no change in common: align by best or time");
            case "best":
                return Best(a, b);
            default:
                throw StopException.Wrong($"--align {align} is not known: auto, timecode, cue, best or time");
        }
    }

    private static (TimeMap Map, string Words) Best(CaptureChanges a, CaptureChanges b)
    {
        var delay = a.Moves.DelayOf(b.Moves);
        // The row of tenths finds the delay roughly; starts of changes near it tell it exactly.
        var near = a.Changes.SelectMany(x => b.Changes.Select(y => (y.Start - x.Start).TotalSeconds)).Where(d => Math.Abs(d - delay) <= 0.15).Order().ToList();
        var exact = near.Count > 0 ? near[near.Count / 2] : delay;
        exact = Math.Abs(exact) < 0.001 ? 0 : Math.Round(exact, 3);
        return (TimeMap.Later(exact), exact == 0
            ? "by best match: both run at the same times"
            : string.Create(CultureInfo.InvariantCulture,
                $"by best match: the second capture is {Math.Abs(exact):0.###} s {(exact > 0 ? "later" : "earlier")}"));
    }
}
