using FsCheck;
using FsCheck.Fluent;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Time;
using Timecode = StageView.Wire.Clock.Timecode;

namespace StageView.Wire.Tests.Time;

public sealed class TimecodeTests
{
    private static Timecode Drop(string text)
    {
        Assert.True(Timecode.TryParse(text, TimecodeRate.Drop2997, out var t), text);
        return t;
    }

    // Worked values that follow from SMPTE 12M's rule of counting: ten minutes hold 17,982 numbers, an hour 107,892, a day 2,589,408.
    [Theory]
    [InlineData("00:00:59;29", 1799)]
    [InlineData("00:01:00;02", 1800)]
    [InlineData("00:02:00;02", 3598)]
    [InlineData("00:09:59;29", 17981)]
    [InlineData("00:10:00;00", 17982)]
    [InlineData("01:00:00;00", 107892)]
    [InlineData("23:59:59;29", 2589407)]
    public void Drop_frame_counts_as_the_standard_does(string text, int number)
    {
        Assert.Equal(number, Drop(text).FrameNumber);
        Assert.Equal(text, Timecode.FromFrameNumber(number, TimecodeRate.Drop2997).ToString());
    }

    [Fact]
    public void Drop_frame_runs_3_6_milliseconds_behind_the_clock_in_an_hour() =>
        Assert.Equal(3599.9964, Drop("01:00:00;00").SinceMidnight.TotalSeconds, 4);

    [Theory]
    [InlineData("00:01:00;00")]
    [InlineData("00:01:00;01")]
    [InlineData("24:00:00:00")]
    [InlineData("00:00:00:30")]
    [InlineData("00:00:60:00")]
    [InlineData("0:0:0")]
    [InlineData("-1:00:00:00")]
    [InlineData("001:00:00:00")]
    public void Labels_that_do_not_exist_are_refused(string text) => Assert.False(Timecode.TryParse(text, TimecodeRate.Drop2997, out _));

    [Fact]
    public void Every_number_of_a_day_has_a_label_of_its_own() =>
        Prop.ForAll(ArbMap.Default.ArbFor<(uint Number, byte Rate)>(), x =>
        {
            var rate = (TimecodeRate)(x.Rate % 4);
            var number = (int)(x.Number % (uint)Timecode.DayFrames(rate));
            var label = Timecode.FromFrameNumber(number, rate);
            return label.IsValid && label.FrameNumber == number && Timecode.TryParse(label.ToString(), rate, out var back) && back == label;
        }).Check(Config.QuickThrowOnFailure.WithMaxTest(2000));

    [Fact]
    public void ArtTimeCode_is_read_as_laid_out()
    {
        byte[] bytes = [.. "Art-Net\0"u8, 0x00, 0x97, 0, 14, 0, 0, 12, 34, 56, 7, 1];
        Assert.True(ArtTimeCode.TryParse(bytes, out var t, out var why), why.ToString());
        Assert.Equal(new Timecode(7, 56, 34, 12, TimecodeRate.Ebu25), t);
        var written = new byte[19];
        ArtTimeCode.Write(written, t);
        Assert.Equal(bytes, written);
        for (var n = 0; n < bytes.Length; n++)
        {
            Assert.False(ArtTimeCode.TryParse(bytes.AsSpan(0, n), out _, out _));
        }

        bytes[14] = 25;
        Assert.False(ArtTimeCode.TryParse(bytes, out _, out _));
    }

    [Fact]
    public void A_capture_is_asked_by_timecode()
    {
        var path = Tools.TempFile("tc.pcapng");
        using (var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero)))
        {
            var packet = new byte[19];
            for (var i = 0; i < 500; i++)
            {
                // 5 s in, it jumps on by an hour.
                ArtTimeCode.Write(packet, Timecode.FromFrameNumber(90_000 + i + (i < 125 ? 0 : 90_000), TimecodeRate.Ebu25));
                writer.Write(TimeSpan.FromMilliseconds(40 * i), Packets.Console1, Packets.Console2 with { Port = 6454 }, packet);
            }
        }

        var track = TimecodeFile.FromCapture(path);
        Assert.True(track.TryFind("01:00:02:05", out var at));
        Assert.Equal(2.2, at.TotalSeconds, 3);
        Assert.True(track.TryFind("02:00:10:00", out at));
        Assert.Equal(10, at.TotalSeconds, 3);
        Assert.False(track.TryFind("01:00:30:00", out _));
        Assert.Equal("01:00:00:00 to 01:00:04:24, 02:00:05:00 to 02:00:19:24", track.Covered());
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Jumped], track.Events.Select(e => e.Kind));
        Assert.Equal("5.000 s: jumps from 01:00:05:00 to 02:00:05:00", track.Events[1].ToString());
    }

    [Fact]
    public void It_freewheels_for_a_set_time_and_reports_dropouts_and_stops()
    {
        var track = new TimecodeTrack(TimeSpan.FromSeconds(0.5));
        void Add(int frame) => track.Add(new TimecodeAt(TimeSpan.FromSeconds(frame / 25.0), Timecode.FromFrameNumber(frame, TimecodeRate.Ebu25)));
        for (var i = 0; i < 25; i++)
        {
            Add(i);
        }

        Add(33);
        Assert.Equal("00:00:01:03", track.LabelAt(TimeSpan.FromSeconds(1.12))?.ToString());
        Assert.Equal("00:00:01:20", track.LabelAt(TimeSpan.FromSeconds(1.8))?.ToString());
        Assert.Null(track.LabelAt(TimeSpan.FromSeconds(1.83)));
        track.Advance(TimeSpan.FromSeconds(1.7));
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Dropout], track.Events.Select(e => e.Kind));
        Assert.Equal(360, track.Events[1].Missing.TotalMilliseconds, 1);
        track.Advance(TimeSpan.FromSeconds(2));
        Assert.Equal(TimecodeEventKind.Stopped, track.Events[^1].Kind);
    }

    // Datagrams may be delivered in another order than they were sent in (RFC 768 gives no guarantee): one, and two together, that were overtaken.
    [Theory]
    [InlineData("0 1 3 2 4 5 6")]
    [InlineData("0 1 2 5 3 4 6 7")]
    [InlineData("0 1 2 4 3 4 5 6")]
    public void Labels_that_were_overtaken_on_their_way_are_no_jump(string order)
    {
        var track = Heard(order);
        Assert.Equal([TimecodeEventKind.Started], track.Events.Select(e => e.Kind));
        Assert.Equal("00:00:00:00 to 00:00:00:0" + order[^1], track.Covered());
        Assert.Equal(order.Split(' ').Length, track.Labels);
    }

    [Theory]
    [InlineData("20 21 22 10 11 12 13", "00:00:00:23 to 00:00:00:10")] // back, and on from there
    [InlineData("20 21 22 10 10 10 10", "00:00:00:23 to 00:00:00:10")] // back, and standing
    [InlineData("20 21 22 10 11 500 501", "00:00:00:23 to 00:00:00:10")] // back, and away again
    [InlineData("20 21 22 10", "00:00:00:23 to 00:00:00:10")] // back, and nothing more
    public void A_source_that_goes_back_is_told_once_with_its_first_label(string order, string jump)
    {
        var track = Heard(order);
        track.Advance(TimeSpan.FromSeconds(.6));
        Assert.Equal((TimecodeEventKind.Jumped, $"0.120 s: jumps from {jump}"), (track.Events[1].Kind, track.Events[1].ToString()));
        Assert.Single(track.Events, e => e is { Kind: TimecodeEventKind.Jumped, To.Frames: 10 });
    }

    [Theory]
    [InlineData("20 19 18 17 16 15 14", "0.040 s: runs backwards from 00:00:00:20")]
    [InlineData("20 21 22 21 20 19 18", "0.120 s: runs backwards from 00:00:00:22")]
    [InlineData("20 21 22 21 20 19 18 17 18 19", "0.120 s: runs backwards from 00:00:00:22", "0.320 s: runs forwards again from 00:00:00:17")]
    [InlineData("20 19 18 17 16 10 9 8 7", "0.040 s: runs backwards from 00:00:00:20", "0.200 s: jumps from 00:00:00:15 to 00:00:00:10")]
    public void Labels_that_fall_run_backwards_and_are_no_jumps(string order, params string[] told)
    {
        var track = Heard(order);
        var frames = order.Split(' ').Select(f => int.Parse(f, System.Globalization.CultureInfo.InvariantCulture)).ToArray();
        Assert.Equal(told, track.Events.Skip(1).Select(e => e.ToString()));
        var last = TimeSpan.FromMilliseconds(40 * (frames.Length - 1));
        var falls = frames[^1] < frames[^2];
        Assert.Equal(falls, track.RunsBackwardsAt(last));
        Assert.Equal(frames[^1] + (falls ? -2 : 2), track.LabelAt(last + TimeSpan.FromMilliseconds(90))!.Value.Frames);
        Assert.True(track.TryFind($"00:00:00:{frames[2]:00}", out var at));
        Assert.Equal(40 * Array.IndexOf(frames, frames[2]), at.TotalMilliseconds, 3);
    }

    /// <summary>Frames at 25 a second, one every 40 ms.</summary>
    private static TimecodeTrack Heard(string order)
    {
        var track = new TimecodeTrack();
        foreach (var (frame, i) in order.Split(' ').Select((f, i) => (int.Parse(f, System.Globalization.CultureInfo.InvariantCulture), i)))
        {
            track.Add(new TimecodeAt(TimeSpan.FromMilliseconds(40 * i), Timecode.FromFrameNumber(frame, TimecodeRate.Ebu25)));
        }

        return track;
    }

    [Fact]
    public void A_label_that_is_sent_again_and_again_stands()
    {
        var track = new TimecodeTrack();
        var at = TimeSpan.Zero;
        void Add(int frame)
        {
            track.Add(new TimecodeAt(at, Timecode.FromFrameNumber(frame, TimecodeRate.Drop2997)));
            at += TimeSpan.FromSeconds(1.0 / 30);
        }

        for (var i = 0; i < 12; i++)
        {
            Add(107_892 + i);
        }

        for (var i = 0; i < 300; i++)
        {
            Add(107_904);
            track.Advance(at);
            if (i > 3)
            {
                Assert.Equal("01:00:00;12", track.LabelAt(at)?.ToString());
                Assert.False(track.RunsAt(at));
            }
        }

        Assert.True(track.RunsAt(TimeSpan.FromSeconds(.3)));
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Stopped], track.Events.Select(e => e.Kind));
        Assert.Equal("0.400 s: stops after 01:00:00;12", track.Events[1].ToString());
        for (var i = 1; i < 12; i++)
        {
            Add(107_904 + i);
            Assert.True(track.RunsAt(at));
        }

        Assert.Equal("01:00:00;00 to 01:00:00;12, 01:00:00;13 to 01:00:00;23", track.Covered());
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Stopped, TimecodeEventKind.Started], track.Events.Select(e => e.Kind));

        // Once a second, and with a pause: it stands all the same.
        Add(107_915);
        for (var i = 0; i < 5; i++)
        {
            at += TimeSpan.FromSeconds(i);
            track.Advance(at);
            Add(107_915);
        }

        Assert.Equal(TimecodeEventKind.Stopped, track.Events[^1].Kind);
        Assert.Equal(4, track.Events.Count);
    }

    [Fact]
    public void A_label_that_comes_twice_or_late_while_it_runs_is_no_event()
    {
        var track = new TimecodeTrack();
        var random = new Random(5);
        var last = TimeSpan.Zero;
        for (var i = 0; i < 2000; i++)
        {
            // Up to 1.5 frames late, one in ten said twice, the second up to 3 frames after the first was due.
            var due = TimeSpan.FromMilliseconds(40 * i);
            var twice = random.Next(10) == 0 ? 2 : 1;
            for (var n = 0; n < twice; n++)
            {
                var at = due + TimeSpan.FromMilliseconds((n == 0 ? 60 : 120) * random.NextDouble());
                last = at > last ? at : last;
                track.Add(new TimecodeAt(last, Timecode.FromFrameNumber(90_000 + i, TimecodeRate.Ebu25)));
                Assert.True(track.RunsAt(last));
            }
        }

        Assert.Single(track.Events);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(7)]
    public void A_stop_is_told_once_though_it_starts_again(int looks)
    {
        var track = new TimecodeTrack();
        track.Add(new TimecodeAt(TimeSpan.Zero, Timecode.FromFrameNumber(0, TimecodeRate.Ebu25)));
        track.Add(new TimecodeAt(TimeSpan.FromMilliseconds(40), Timecode.FromFrameNumber(1, TimecodeRate.Ebu25)));
        for (var i = 0; i < looks; i++)
        {
            track.Advance(TimeSpan.FromSeconds(2 + i));
        }

        track.Add(new TimecodeAt(TimeSpan.FromSeconds(20), Timecode.FromFrameNumber(500, TimecodeRate.Ebu25)));
        track.Advance(TimeSpan.FromSeconds(20.1));
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Stopped, TimecodeEventKind.Started], track.Events.Select(e => e.Kind));
    }

    [Fact]
    public void Timecode_that_is_heard_is_followed_and_a_second_sender_is_named()
    {
        var tap = new TimecodeTap(TimeSpan.FromSeconds(0.5));
        var packet = new byte[19];
        void Hear(int milliseconds, int frame, SourceAddress from)
        {
            ArtTimeCode.Write(packet, Timecode.FromFrameNumber(frame, TimecodeRate.Ebu25));
            tap.OnDatagram(TimeSpan.FromMilliseconds(milliseconds), from, default, packet);
        }

        Assert.Null(tap.Read(TimeSpan.Zero));
        tap.OnDatagram(TimeSpan.Zero, Packets.Console1, default, Packets.ArtDmx(0, 1, Packets.Levels(512, 1)));
        for (var f = 0; f < 50; f++)
        {
            Hear(40 * f, f, Packets.Console1);
        }

        Assert.Equal(("00:00:02:05", true, "10.0.0.1", (string?)null),
            tap.Read(TimeSpan.FromMilliseconds(2200)) is { } t ? (t.Label, t.Runs, t.From, t.AlsoFrom) : default);
        Hear(2240, 9000, Packets.Console2);
        Assert.Equal(("10.0.0.2", "10.0.0.1"), tap.Read(TimeSpan.FromMilliseconds(2300)) is { } u ? (u.From, u.AlsoFrom) : default);
        var stands = tap.Read(TimeSpan.FromMilliseconds(4000));
        Assert.Equal(("00:06:00:00", false, (string?)null), (stands!.Label, stands.Runs, stands.AlsoFrom));
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Jumped, TimecodeEventKind.Stopped], stands.Events.Select(e => e.Kind));
        var told = 0L;
        var since = tap.Since(TimeSpan.FromMilliseconds(4000), ref told);
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Jumped, TimecodeEventKind.Stopped], since.Select(e => e.Kind));
        Assert.Empty(tap.Since(TimeSpan.FromMilliseconds(4500), ref told));
        // A sender that jumps with every packet: what is kept is bounded; told are how it began and the latest.
        for (var f = 0; f < 5000; f++)
        {
            Hear(5000 + f, f % 2 * 40_000, Packets.Console1);
        }

        var flood = tap.Read(TimeSpan.FromMilliseconds(10_000))!;
        Assert.Equal((5, TimecodeEventKind.Started, TimeSpan.Zero), (flood.Events.Count, flood.Events[0].Kind, flood.Events[0].At));
        Assert.All(flood.Events.Skip(1), e => Assert.InRange(e.At.TotalMilliseconds, 9990, 10_000));
        Assert.InRange(flood.Happened, 5000, 5010);
    }

    [Theory]
    [InlineData(TimecodeRate.Ebu25, "23:59:59:20")]
    [InlineData(TimecodeRate.Drop2997, "23:59:59;20")]
    public void Midnight_is_no_jump(TimecodeRate rate, string from)
    {
        Assert.True(Timecode.TryParse(from, rate, out var start));
        var track = new TimecodeTrack();
        var frame = Timecode.FrameSeconds(rate);
        for (var i = 0; i < 100; i++)
        {
            track.Add(new TimecodeAt(TimeSpan.FromSeconds(i * frame), Timecode.FromFrameNumber(start.FrameNumber + i, rate)));
        }

        Assert.Equal([TimecodeEventKind.Started], track.Events.Select(e => e.Kind));
        Assert.True(track.TryFind("00:00:01:00", out var at));
        var on = Timecode.DayFrames(rate) - start.FrameNumber + Timecode.Count(rate);
        Assert.Equal(on * frame, at.TotalSeconds, 4);
        Assert.Equal(new Timecode(0, 0, 1, 0, rate), track.LabelAt(TimeSpan.FromSeconds((on + 0.5) * frame)));
        Assert.False(track.TryFind("23:59:00:00", out _));
        Assert.False(track.TryFind("12:00:00:00", out _));

        // Back over midnight, or far on, is one.
        track.Add(new TimecodeAt(TimeSpan.FromSeconds(100 * frame), start));
        Assert.Equal(TimecodeEventKind.Jumped, track.Events[^1].Kind);
    }
}
