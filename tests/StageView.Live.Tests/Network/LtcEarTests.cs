using Microsoft.Extensions.Time.Testing;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;

namespace StageView.Live.Tests.Network;

/// <summary>What is told of a sound input with timecode, and which timecode counts.</summary>
public sealed class LtcEarTests
{
    /// <summary>10:00:00:00 at 25 frames a second.</summary>
    private const int Start = 900_000;

    private readonly FakeTimeProvider _clock = new();
    private readonly NightJournal _journal;
    private readonly LtcEar _ear;
    private readonly LiveTimecode _heard;

    public LtcEarTests()
    {
        _journal = new NightJournal(_clock);
        _ear = new LtcEar("alsa:hw:1", _clock);
        _heard = new LiveTimecode(_clock, _journal, _ear);
    }

    [Fact]
    public void Level_and_state_are_shown_from_no_input_to_timecode_that_reads_either_way()
    {
        Assert.Equal("LTC …", _heard.Ltc()!.Short);
        _ear.Ended("hw:1: No such device");
        Assert.Equal(("lost", "LTC from alsa:hw:1: no input: hw:1: No such device"), State());
        _ear.Begun();
        Hear(new float[48_000]);
        Assert.Equal(("silent", "LTC from alsa:hw:1: no sound"), State());
        Hear([.. Enumerable.Range(0, 48_000).Select(i => .25f * MathF.Sin(i * .05f))]);
        Assert.Equal(("silent", "LTC from alsa:hw:1: sound, but no timecode, peak -12 dBFS"), State());
        Assert.Equal("LTC no timecode -12 dB", _heard.Ltc()!.Short);
        Assert.Null(_heard.Now());
        var sound = LtcSound.Of(Start, 50);
        Hear(sound);
        Assert.Equal(("heard", "LTC from alsa:hw:1: reads at 25 frames/s, peak -6 dBFS"), State());
        Assert.Equal("LTC -6 dB", _heard.Ltc()!.Short);
        Assert.Equal(("10:00:02:00", "25 frames/s, runs, LTC"), _heard.Now());
        Hear([.. sound.Reverse()]);
        Assert.Equal(("heard", "LTC from alsa:hw:1: reads at 25 frames/s, backwards, peak -6 dBFS"), State());
        Assert.Equal("25 frames/s, backwards, LTC", _heard.Now()!.Value.Note);
        _clock.Advance(TimeSpan.FromSeconds(1.5));
        Assert.Equal(("lost", "LTC from alsa:hw:1: the input brings nothing"), State());
        _heard.Tell();
        Assert.Equal(["LTC starts at 10:00:00:00", "LTC runs backwards from 10:00:01:24", "LTC stops after 10:00:00:01"], Said());
    }

    [Fact]
    public void LTC_counts_while_it_runs_and_ArtTimeCode_while_it_does_not()
    {
        for (var frame = 0; frame < 25; frame++)
        {
            Send(frame);
            _clock.Advance(TimeSpan.FromMilliseconds(40));
        }

        Assert.Equal(("00:00:01:00", "25 frames/s, runs, ArtTimeCode"), _heard.Now());
        _ear.Begun();
        Hear(LtcSound.Of(Start, 25), frame => Send(25 + frame));
        Assert.Equal(("10:00:01:00", "25 frames/s, runs, LTC"), _heard.Now());
        for (var frame = 50; frame < 100; frame++)
        {
            Send(frame);
            _clock.Advance(TimeSpan.FromMilliseconds(40));
        }

        Assert.Equal(("00:00:04:00", "25 frames/s, runs, ArtTimeCode"), _heard.Now());
        _clock.Advance(TimeSpan.FromSeconds(3));
        Assert.Equal("25 frames/s, stands, LTC", _heard.Now()!.Value.Note);
    }

    [Fact]
    public void Drift_from_ArtTimeCode_is_told_once_each_time_that_it_has_grown()
    {
        _ear.Begun();
        var apart = 0.0;
        Hear(LtcSound.Of(Start, 25 * 150), frame =>
        {
            // In step for 30 s, then a frame a second apart for ten, and steady from there on.
            apart = Math.Clamp((frame - 750) / 25.0, 0, 10);
            Send(Start + frame - (int)apart);
        });
        Assert.Equal(["LTC runs 4 frames ahead of ArtTimeCode", "LTC drifts: 10 frames ahead of ArtTimeCode now, 4 frames ahead of it before"],
            Said().Where(s => s.Contains("ArtTimeCode", StringComparison.Ordinal)));
        Assert.Equal("LTC from alsa:hw:1: reads at 25 frames/s, peak -6 dBFS; 10 frames ahead of ArtTimeCode", State().Text);
    }

    [Fact]
    public void Dropouts_of_a_bad_cable_are_told_a_few_times_and_then_counted()
    {
        _ear.Begun();
        var sound = LtcSound.Of(Start, 25 * 70);
        for (var second = 0; second < 60; second++)
        {
            // A quarter of every second is gone.
            sound.AsSpan((second * 48_000) + 20_000, 12_000).Clear();
        }

        Hear(sound);
        var dropouts = Said().Where(s => s.StartsWith("LTC is back", StringComparison.Ordinal)).ToList();
        Assert.Equal(3, dropouts.Count);
        Assert.Matches("^LTC is back at 10:00:00:1[78] after (28|32)0 ms without$", dropouts[0]);
        Assert.Single(Said(), s => s.StartsWith("LTC: 5", StringComparison.Ordinal) && s.EndsWith("more dropouts within a minute", StringComparison.Ordinal));
        Assert.DoesNotContain(Said(), s => s.Contains("jumps", StringComparison.Ordinal));
    }

    [Fact]
    public void An_input_that_ends_again_and_again_for_the_same_reason_is_told_once()
    {
        for (var i = 0; i < 20; i++)
        {
            _ear.Ended("hw:1: Device or resource busy");
            _heard.Tell();
            _clock.Advance(TimeSpan.FromSeconds(1));
        }

        Assert.Equal(["LTC from alsa:hw:1: no input: hw:1: Device or resource busy; tried again"], Said());
        _ear.Begun();
        Hear(new float[48_000 * 7]);
        Assert.Equal("LTC from alsa:hw:1: no sound", Said()[^1]);

        // What ends with all else, as after Ctrl+C, is not told.
        _ear.Ended("hw:1: Device or resource busy");
        _heard.Tell();
        Assert.Equal("LTC from alsa:hw:1: no sound", Said()[^1]);
        _clock.Advance(TimeSpan.FromSeconds(1));
        _heard.Tell();
        Assert.Equal("LTC from alsa:hw:1: no input: hw:1: Device or resource busy; tried again", Said()[^1]);
    }

    [Fact]
    public void Speed_by_this_machines_clock_is_shown_and_told_once()
    {
        _ear.Begun();

        // Blocks that bring 0.5 % more sound than time passes, as of tape that runs fast.
        Hear(LtcSound.Of(Start, 25 * 60), pace: 1.005);
        Assert.Equal("LTC from alsa:hw:1: reads at 25 frames/s, 0.50 % fast, peak -6 dBFS", State().Text);
        Assert.Single(Said(), s => s == "LTC from alsa:hw:1: reads at 25 frames/s, 0.50 % fast, by this machine's clock");
    }

    /// <summary>Sound as it comes, a frame a block, looked at twice a second.</summary>
    private void Hear(float[] sound, Action<int>? each = null, double pace = 1)
    {
        const int Block = 1920;
        for (var n = 0; n * Block < sound.Length; n++)
        {
            var block = sound.AsSpan(n * Block, Math.Min(Block, sound.Length - (n * Block)));
            each?.Invoke(n);
            _clock.Advance(TimeSpan.FromSeconds(block.Length / 48_000.0 / pace));
            _ear.Hear(block);
            if (n % 12 == 0)
            {
                _heard.Tell();
            }
        }
    }

    private void Send(int frame)
    {
        Span<byte> packet = stackalloc byte[ArtTimeCode.Length];
        ArtTimeCode.Write(packet, Timecode.FromFrameNumber(frame, TimecodeRate.Ebu25));
        _heard.OnDatagram(default, SourceAddress.IPv4(0x0A000002, 6454), default, packet);
    }

    private (string State, string Text) State() => (_heard.Ltc()!.State, _heard.Ltc()!.Text);

    private List<string> Said() => [.. _journal.Newest(500).Select(e => e.Text)];
}
