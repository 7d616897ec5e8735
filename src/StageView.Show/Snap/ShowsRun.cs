using System.Globalization;
using StageView.Ground.Indices;
using StageView.Ground.Words;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;
using StageView.Stage;
using StageView.Stage.Changes;

namespace StageView.Show.Snap;

/// <summary>What the comparison of two captures found.</summary>
/// <param name="Alignment">How times were matched, in words.</param>
/// <param name="Timing">Changes that come at other times.</param>
/// <param name="Partings">Where the states differ.</param>
/// <param name="Looked">How many times were looked at.</param>
/// <param name="Doubts">What was wrong with the captures, so that the comparison is of a part; empty when nothing was.</param>
/// <param name="Missing">Universes that only one of the captures has, in words; what follows from that alone is not told fixture by fixture.</param>
/// <param name="OneSided">Fixtures that only one of two venues has, or has as another type or mode; they are not compared.</param>
public sealed record ShowsAnswer(
    string Alignment, IReadOnlyList<TimingChange> Timing, IReadOnlyList<Parting> Partings, int Looked, IReadOnlyList<string> OneSided,
    IReadOnlyList<string> Doubts, IReadOnlyList<string> Missing)
{
    /// <summary>What is different of the contents over the pixels, a text each.</summary>
    public IReadOnlyList<string> Content { get; init; } = [];

    public bool IsDifference => Partings.Count + Timing.Count + Missing.Count + Content.Count > 0;
}

/// <summary>What two captures are compared by.</summary>
/// <param name="Rig">The rig file.</param>
/// <param name="First">The capture that is right.</param>
/// <param name="Second">The other.</param>
/// <param name="Align">How times are matched: auto, timecode, cue, best or time.</param>
/// <param name="Step">Between the times looked at, s.</param>
/// <param name="Venue">Laid over the rig, or null.</param>
/// <param name="SecondVenue">Laid over the rig for the second capture, where that is another; null where it is the same.</param>
/// <param name="Apart">In two venues: landings nearer to each other are the same, m.</param>
/// <param name="Tolerance">Within which time and amount states are the same; the usual when null.</param>
public sealed record ShowsAsked(
    string Rig, string First, string Second, string Align, double Step, string? Venue = null, string? SecondVenue = null, double Apart = ShowsRun.UsualApart,
    ShowTolerance? Tolerance = null)
{
    /// <summary>The rig file of the second capture, where that is another; null where it is the same.</summary>
    public string? SecondRig { get; init; }
}

/// <summary>Compares two captures without drawing: on one rig, or each in its own venue.</summary>
public static class ShowsRun
{
    /// <summary>m; common practice, no source: half a performer's width.</summary>
    public const double UsualApart = .25;

    private const double FirstWords = 0.05;

    /// <summary>Smallest drift of two clocks told, s: half a frame at 25 a second; the labels' packets jitter by less.</summary>
    private const double LeastDrift = 0.02;

    /// <param name="tell">Told what is wrong with the rig, a text each.</param>
    /// <exception cref="StopException">A file is missing or can't be read, or the times can't be matched as asked.</exception>
    public static ShowsAnswer Run(ShowsAsked asked, Action<string>? tell = null)
    {
        foreach (var capture in new[] { asked.First, asked.Second })
        {
            if (!File.Exists(capture))
            {
                throw StopException.Wrong($"there is no capture file at {capture}");
            }
        }

        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: tell);
        var other = asked.SecondVenue is null && asked.SecondRig is null ? rig
            : RigFiles.Open(asked.SecondRig ?? asked.Rig, asked.SecondVenue ?? asked.Venue, tell: tell);
        var (a, b) = (CaptureChanges.Find(rig, asked.First), CaptureChanges.Find(other, asked.Second));
        var (recordsA, recordsB) = (a.Records(asked.First), b.Records(asked.Second));
        var (map, words) = Align(asked.Align, asked.First, asked.Second, a, b, recordsA, recordsB);
        var tolerance = asked.Tolerance ?? ShowTolerance.Usual;

        using var showsA = new CaptureShows(rig, asked.First, tolerance);
        using var showsB = new CaptureShows(other, asked.Second, tolerance);
        var (showA, showB) = (showsA.Middle, showsB.Middle);
        var pairs = ReferenceEquals(rig, other) ? null : LandingComparison.Pair(rig, other);
        var comparison = new ShowComparison(showsA.Stages, showsB.Stages, map, tolerance, pairs);
        var landings = pairs is null ? null : new LandingComparison(showA.Stage, showB.Stage, pairs, asked.Apart);
        var content = new ContentComparison(showA, showB, tolerance);
        var looked = 0;
        for (var t = 0.0; t <= a.End.TotalSeconds; t = ++looked * asked.Step)
        {
            var u = map.ToSecond(t);
            // At its very first instant a capture has told nothing yet.
            if (u < 0 || u > b.End.TotalSeconds + asked.Step || (Math.Min(t, u) < FirstWords && Math.Abs(t - u) > FirstWords))
            {
                continue;
            }

            showsA.FeedTo(t);
            showsB.FeedTo(u);
            comparison.Look(t, asked.Step);
            landings?.Look(t, u, asked.Step);
            content.Look(t, u);
        }

        showA.End();
        showB.End();
        string[] doubts = [.. showA.Doubts.Concat(showB.Doubts).Distinct()];
        var missing = new MissingUniverses(rig, a.Heard, b.Heard);
        IReadOnlyList<Parting> partings = landings is null ? [.. comparison.Finish().Where(p => !missing.Explains(p.Fixture))]
            : [.. comparison.Finish().Concat(landings.Finish()).OrderBy(p => p.From).ThenBy(p => p.Fixture)];

        // By timecode or by the clock a change that moved is a finding; aligned by cue or best match, only what moves against the rest is. What changes look
        // like differs from venue to venue.
        var timing = pairs is null ? TimingDiff.Of(recordsA, recordsB) : [];
        return new ShowsAnswer(words, Shifted(timing, map, tolerance), partings, looked, OneSided(rig, other, pairs), doubts, missing.Words)
        {
            Content = content.Finish(),
        };
    }

    private static IReadOnlyList<string> OneSided(RigScene rig, RigScene other, IReadOnlyList<FixtureIndex>? pairs) => pairs is null ? []
        : [.. rig.Fixtures.Where((_, i) => pairs[i].IsNone).Select(f => f.Name)
            .Union(other.Fixtures.Where(f => !pairs.Contains(f.Index)).Select(f => f.Name), StringComparer.Ordinal)];

    private static IReadOnlyList<TimingChange> Shifted(IReadOnlyList<TimingChange> timing, TimeMap map, ShowTolerance tolerance) =>
        map.Pieces > 1 ? timing : [.. timing.Where(t => t.Before is null || t.After is null
            || Math.Abs(map.ToSecond(t.Before.Start) - t.After.Start) > Math.Max(TimingDiff.LeastSeconds * 2, tolerance.Seconds)
            || Math.Abs(t.After.Settled - t.After.Start - (t.Before.Settled - t.Before.Start)) > Math.Max(TimingDiff.LeastSeconds, tolerance.Seconds))];

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
                    var clocks = TimeMap.Drifting(ta.PointsWith(tb));
                    return (clocks, Math.Abs(clocks.Drift) < LeastDrift ? "by timecode"
                        : string.Create(CultureInfo.InvariantCulture,
                            $"by timecode; the second capture's clock runs {(clocks.Drift > 0 ? "slow" : "fast")}: {Math.Abs(clocks.Drift):0.###} s over ")
                            + "the show");
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
