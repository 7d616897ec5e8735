using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Wire.Clock;

namespace StageView.Show.Tests.Content;

/// <summary>How long content has been on, by show time and by timecode (labels count as SMPTE 12M has it).</summary>
public sealed class ContentTimesTests
{
    [Fact]
    public void Content_by_timecode_jumps_with_it_and_holds_when_it_stands_and_by_show_time_runs_on()
    {
        // 25 frames/s: ten seconds from 01:00:00:00, then five from 01:00:30:00, then nothing more.
        var track = new TimecodeTrack();
        Run(track, 0, "01:00:00:00", 250);
        Run(track, 10, "01:00:30:00", 125);
        var placement = Placement("01:00:02:00");
        var follows = placement with { Clock = ContentClock.Timecode };
        Assert.Equal(-2, Since(follows, 0, track), .001);
        Assert.Equal(3, Since(follows, 5, track), .001);
        Assert.Equal(3, Since(placement, 5, track), .03);
        Assert.Equal(29, Since(follows, 11, track), .001);
        Assert.Equal(9, Since(placement, 11, track), .03);

        // Heard last: 01:00:34:24.
        Assert.Equal(32.96, Since(follows, 60, track), .001);
        Assert.Equal(58, Since(placement, 60, track), .03);
        Assert.Null(ContentTimes.Since(follows, default, null));
        Assert.Null(ContentTimes.Since(Placement("05:00:00:00"), default, track));
    }

    [Fact]
    public void As_of_a_timecode_a_day_counts_round_and_a_label_that_the_rate_has_not_is_none()
    {
        Assert.True(Timecode.TryParse("00:00:01:00", TimecodeRate.Ebu25, out var now));
        Assert.Equal(2, ContentTimes.Since(Placement("23:59:59:00"), now)!.Value.TotalSeconds, .001);
        Assert.Null(ContentTimes.Since(Placement("00:00:00:29"), now));
    }

    private static double Since(ContentPlacement placement, double at, TimecodeTrack track) =>
        ContentTimes.Since(placement, TimeSpan.FromSeconds(at), track)!.Value.TotalSeconds;

    private static void Run(TimecodeTrack track, double from, string label, int frames)
    {
        Assert.True(Timecode.TryParse(label, TimecodeRate.Ebu25, out var first));
        for (var i = 0; i < frames; i++)
        {
            track.Add(new TimecodeAt(TimeSpan.FromSeconds(from + (i / 25.0)), Timecode.FromFrameNumber(first.FrameNumber + i, TimecodeRate.Ebu25)));
        }
    }

    private static ContentPlacement Placement(string start) => new() { Name = "c", File = "c.png", FullPath = "c.png", Luminance = 1, StartTimecode = start };
}
