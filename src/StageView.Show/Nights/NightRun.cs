using StageView.Rig.Pieces;
using StageView.Show.Load;
using StageView.Show.Recordings;
using StageView.Show.Rigs;
using StageView.Show.Snap;
using StageView.Show.Sources;
using StageView.Show.Takeover;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Why;
using StageView.Wire.Clock;

namespace StageView.Show.Nights;

/// <summary>Tells one night by another: late cues, changed looks, landings, units that stayed dark, timecode, the network, energy.</summary>
public static class NightRun
{
    /// <summary>A cue by hand or by a console's own clock is so precise, s: common practice, no source.</summary>
    public const double LeastLate = .1;

    /// <param name="asked">The two captures, as for <see cref="ShowsRun"/>.</param>
    /// <param name="tell">Told what is wrong with the rig.</param>
    /// <exception cref="StopException">A file is missing or can't be read.</exception>
    public static NightAnswer Run(ShowsAsked asked, Action<string>? tell = null)
    {
        ArgumentNullException.ThrowIfNull(asked);
        var shows = ShowsRun.Run(asked, tell);
        var two = asked.SecondVenue is not null || asked.SecondRig is not null;
        var rig = RigFiles.Open(asked.Rig, asked.Venue);
        var other = two ? RigFiles.Open(asked.SecondRig ?? asked.Rig, asked.SecondVenue ?? asked.Venue) : rig;
        var (trackA, trackB) = (CaptureTrack.Of(asked.First), CaptureTrack.Of(asked.Second));
        var step = Math.Clamp(asked.Step, .1, .5);
        var (sideA, litA) = Side(rig, asked.First, trackA, step);
        var (sideB, litB) = Side(other, asked.Second, trackB, step);
        var (landings, looks) = (shows.Partings.Where(p => p.Attribute == LandingComparison.Attribute).ToList(),
            shows.Partings.Where(p => p.Attribute != LandingComparison.Attribute).ToList());
        var there = other.Fixtures.Select(f => f.Name).ToHashSet();
        return new NightAnswer(sideA, sideB, shows.Alignment, [.. shows.Timing.Select(t => Shift(t, trackA, trackB)).Where(s => s.LateSeconds is null
                || Math.Abs(s.LateSeconds.Value) >= LeastLate)], two, looks, landings, [.. shows.Missing, .. shows.Content],
            [.. rig.Fixtures.Select(f => f.Name).Where(n => litA.Contains(n) && there.Contains(n) && !litB.Contains(n))],
            [.. rig.Fixtures.Where(f => f.Patch.Count > 0).Select(f => f.Name).Where(n => !litA.Contains(n) && !litB.Contains(n))], shows.Doubts);
    }

    private static (NightSide Side, HashSet<string> Lit) Side(RigScene rig, string capture, TimecodeTrack track, double step)
    {
        var network = new RecordingWatch(rig, capture, TimeSpan.FromSeconds(1)).Ask();
        using var show = new CaptureShow(rig, capture, null, keepHistory: false);
        var load = LoadRun.Run(show, step, cold: false, track, network.Seconds);
        using var again = new CaptureShow(rig, capture, null, keepHistory: false);
        var lit = new HashSet<string>();
        for (var t = step / 2; t <= network.Seconds; t += step)
        {
            again.FeedTo(TimeSpan.FromSeconds(t));
            lit.UnionWith(LitFixtures.At(again.Stage, t).Select(f => rig.Fixtures[f.Value].Name));
        }

        return (new NightSide(network, load), lit);
    }

    private static CueShift Shift(TimingChange t, TimecodeTrack first, TimecodeTrack second)
    {
        Timecode? Label(TimecodeTrack track, ChangeRecord? c) => c is null ? null : track.LabelAt(TimeSpan.FromSeconds(c.Start));
        var (a, b) = (Label(first, t.Before), Label(second, t.After));
        var late = t.Before is null || t.After is null ? (double?)null
            : a is { } x && b is { } y && x.Rate == y.Rate ? (y.FrameNumber - x.FrameNumber) / Hertz(x.Rate) : t.After.Start - t.Before.Start;
        return new CueShift((t.Before ?? t.After)!.Title, t.Before?.Start, a?.ToString(), t.After?.Start, b?.ToString(),
            late is { } s ? Math.Round(s, 3) : null, t.Followers);
    }

    private static double Hertz(TimecodeRate rate) => rate == TimecodeRate.Drop2997 ? 30_000.0 / 1001 : Timecode.Count(rate);
}
