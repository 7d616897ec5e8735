using System.Text.Json;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Health;

namespace StageView.Live.Tests.Night;

/// <summary>What the journal of the night says, and when.</summary>
public sealed class NightTests
{
    private static readonly SourceAddress From = SourceAddress.IPv4(0x0A000002, 5568);

    [Fact]
    public void A_line_is_written_with_each_of_its_times_until_it_is_said_too_often()
    {
        var clock = new FakeTimeProvider();
        var journal = new NightJournal(clock);
        for (var i = 0; i < 10; i++)
        {
            journal.Say("network", "desk stopped sending");
            clock.Advance(TimeSpan.FromSeconds(5));
        }

        var all = journal.Newest(100);
        Assert.Equal([1, 1, 1, 7], all.Select(e => e.Times));
        Assert.Equal(TimeSpan.FromSeconds(5), all[1].At - all[0].At);
        Assert.Equal(TimeSpan.FromSeconds(30), all[3].Until - all[3].At);

        // A minute on, it stands there again with its own time; once every 50 s all night is one entry each.
        clock.Advance(TimeSpan.FromSeconds(20));
        for (var i = 0; i < 5; i++)
        {
            journal.Say("network", "desk stopped sending");
            clock.Advance(TimeSpan.FromSeconds(50));
        }

        Assert.Equal([1, 1, 1, 1, 1], journal.Newest(5).Select(e => e.Times));
    }

    [Fact]
    public void The_journal_is_bounded_and_says_what_gave_way()
    {
        var journal = new NightJournal(new FakeTimeProvider(), capacity: 5);
        for (var i = 0; i < 12; i++)
        {
            journal.Say("rig", $"line {i}");
        }

        var lines = journal.ToText().Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal("(7 older entries gave way)", lines[0]);
        Assert.Equal(6, lines.Length);
        Assert.EndsWith("line 11", lines[^1], StringComparison.Ordinal);
        Assert.Equal(12, JsonDocument.Parse(journal.ToJsonLines().Split('\n')[4]).RootElement.GetProperty("number").GetInt64());
    }

    [Fact]
    public void A_machine_that_slept_is_noticed_by_the_wall_clock_where_the_other_one_slept_too()
    {
        var clock = new TwoClocks();
        using var watch = new SleepWatch(clock);
        clock.Go(1, 1);
        Assert.Null(watch.Look(out var asleep));
        Assert.False(asleep);

        // Suspend on Linux: CLOCK_MONOTONIC stands still (clock_gettime(2)).
        clock.Go(monotonic: 0.3, wall: 8 * 3600);
        Assert.Contains("asleep for 8:00:00 h", watch.Look(out asleep), StringComparison.Ordinal);
        Assert.True(asleep);

        // A stopped program: both go on.
        clock.Go(25, 25);
        Assert.Contains("stopped for 25 s", watch.Look(out asleep), StringComparison.Ordinal);
        Assert.True(asleep);

        // The clock set back hurts no socket.
        clock.Go(1, -3600);
        Assert.Contains("set back by", watch.Look(out asleep), StringComparison.Ordinal);
        Assert.False(asleep);
        clock.Go(1, 1);
        Assert.Null(watch.Look(out _));
    }

    [Fact]
    public void Whoever_looks_and_was_held_up_takes_nobody_for_a_sleeper()
    {
        var clock = new FakeTimeProvider();
        using var watch = new SleepWatch(clock);
        for (var s = 0; s < 90; s++)
        {
            clock.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.Null(watch.Look(out var asleep));
        Assert.False(asleep);

        // Stopped in between, even though it went on well before it was looked at.
        clock.Advance(TimeSpan.FromSeconds(30));
        for (var s = 0; s < 5; s++)
        {
            clock.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.Contains("stopped for 30 s", watch.Look(out asleep), StringComparison.Ordinal);
        Assert.True(asleep);
    }

    [Fact]
    public void A_lost_desk_is_one_line_and_losses_are_told_once_until_they_are_long_over()
    {
        var clock = new FakeTimeProvider();
        var journal = new NightJournal(clock);
        var tell = new FindingJournal(clock, journal);
        Finding[] lost = [.. Enumerable.Range(1, 10).Append(14).SelectMany(u => new[] { Stopped(u, 3 + (0.02 * u)), Missing(u, u) })];
        Assert.Equal(
            [
                "universes 1 to 10, 14: 'desk' at 10.0.0.2 stopped 3.0 s ago without saying so; its last levels are held",
                "universes 1 to 10, 14: 69 packets of 'desk' at 10.0.0.2 went missing in the last minute (6.27 %)",
            ],
            FindingGroups.Of(lost).Select(f => f.Text));
        // What stopped at another time, and what is said otherwise, stays apart.
        Assert.Equal(
            ["universe 1: 'desk' at 10.0.0.2 stopped 30.0 s ago without saying so; its last levels are held",
                "universe 2: 'desk' at 10.0.0.2 stopped 3.0 s ago without saying so; its last levels are held"],
            FindingGroups.Of([Stopped(1, 30), Stopped(2, 3)]).Select(f => f.Text));
        Assert.Equal(
            ["universes 30, 31 are heard from x but nothing is patched there", "universe 311 is heard from y but nothing is patched there",
                "3 malformed packets were refused; the last: cut short"],
            FindingGroups.Of([Heard(30, "x"), Heard(31, "x"), Heard(311, "y"),
                new() { Kind = FindingKind.Malformed, Stands = false, Count = 3, Reason = "cut short" }]).Select(f => f.Text));

        // Losses of each second minute through an hour: one line in the journal for all universes.
        for (var minute = 0; minute < 60; minute++)
        {
            tell.Tell(minute % 2 == 0 ? lost : []);
            clock.Advance(TimeSpan.FromMinutes(1));
        }

        Assert.Equal("universes 1 to 10, 14: 69 packets of 'desk' at 10.0.0.2 went missing in the last minute (6.27 %)",
            Assert.Single(journal.Newest(10)).Text);
        clock.Advance(TimeSpan.FromMinutes(10));
        tell.Tell([]);
        tell.Tell([]);
        Assert.Equal(2, journal.Newest(10).Count);
        Assert.Contains(journal.Newest(10),
            l => l.Text == "over: universes 1 to 10, 14: for 10 min fewer than 1 in 100 packets of 'desk' at 10.0.0.2 went missing");

        // Another fault is over as soon as it is gone.
        tell.Tell([new() { Kind = FindingKind.SourcesDisagree, Stands = true, Universes = [3], Sources = ["a", "b"], Priority = 100, Addresses = [1, 2, 9] }]);
        tell.Tell([]);
        Assert.Equal("over: universe 3: a and b fight at equal priority 100 over 1-2, 9", journal.Newest(1)[0].Text);

        static Finding Stopped(int universe, double seconds) =>
            new() { Kind = FindingKind.SourceStopped, Stands = true, Universes = [universe], Sources = ["'desk' at 10.0.0.2"], Seconds = seconds, Held = true };
        static Finding Missing(int universe, int count) =>
            new()
            {
                Kind = FindingKind.PacketsLost,
                Stands = true,
                Universes = [universe],
                Sources = ["'desk' at 10.0.0.2"],
                Count = count,
                Of = 100,
                WithinSeconds = 60,
            };
        static Finding Heard(int universe, string who) =>
            new() { Kind = FindingKind.HeardButNotPatched, Stands = false, Universes = [universe], Sources = [who] };
    }

    [Fact]
    public void Timecode_is_shown_running_and_standing_and_its_events_are_written_down()
    {
        var clock = new FakeTimeProvider();
        var journal = new NightJournal(clock);
        var heard = new LiveTimecode(clock, journal);
        Assert.Null(heard.Now());
        Span<byte> packet = stackalloc byte[ArtTimeCode.Length];
        for (var frame = 0; frame < 30; frame++)
        {
            ArtTimeCode.Write(packet, Timecode.FromFrameNumber(90_000 + frame, TimecodeRate.Ebu25));
            heard.OnDatagram(default, From, From, packet);
            clock.Advance(TimeSpan.FromMilliseconds(40));
        }

        Assert.Equal(("01:00:01:05", "25 frames/s, runs"), heard.Now());
        clock.Advance(TimeSpan.FromSeconds(2));
        Assert.Equal(("01:00:01:04", "25 frames/s, stands"), heard.Now());
        heard.Tell();
        Assert.Equal(["timecode starts at 01:00:00:00", "timecode stops after 01:00:01:04"], journal.Newest(9).Select(e => e.Text));

        // Begun again from where it stood and held there: told once each.
        for (var n = 0; n < 60; n++)
        {
            ArtTimeCode.Write(packet, Timecode.FromFrameNumber(90_030 + Math.Min(n, 10), TimecodeRate.Ebu25));
            heard.OnDatagram(default, From, From, packet);
            clock.Advance(TimeSpan.FromMilliseconds(40));
            heard.Tell();
        }

        Assert.Equal(("01:00:01:15", "25 frames/s, stands"), heard.Now());
        Assert.Equal(["timecode starts at 01:00:01:05", "timecode stops after 01:00:01:15"], journal.Newest(9).Skip(2).Select(e => e.Text));
    }

    /// <summary>A monotonic and a wall clock that part.</summary>
    private sealed class TwoClocks : TimeProvider
    {
        private long _ticks;
        private DateTimeOffset _wall = new(2030, 1, 1, 20, 0, 0, TimeSpan.Zero);

        public override long TimestampFrequency => TimeSpan.TicksPerSecond;

        public override long GetTimestamp() => _ticks;

        public override DateTimeOffset GetUtcNow() => _wall;

        public void Go(double monotonic, double wall)
        {
            _ticks += TimeSpan.FromSeconds(monotonic).Ticks;
            _wall += TimeSpan.FromSeconds(wall);
        }
    }
}
