using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Time;
using Timecode = StageView.Wire.Clock.Timecode;

namespace StageView.Wire.Tests.Time;

/// <summary>Where tape begins, which way it runs, midnight and single wrong labels, in sound of libltc's encoder.</summary>
public sealed class LtcTapeTests
{
    private const int SampleRate = 48_000;

    [Fact]
    public void A_tape_that_git_left_a_pointer_of_is_told_as_that()
    {
        using var folder = new TempFolder();
        var tape = folder.File("tape.wav", "version https://git-lfs.github.com/spec/v1\noid sha256:4d7a\nsize 12345\n");
        Assert.Contains("git lfs pull", Assert.Throws<CaptureException>(() => WavReader.Open(tape)).Message, StringComparison.Ordinal);
        Assert.Contains("no WAV file", Assert.Throws<CaptureException>(() => WavReader.Open(folder.File("other.wav", "version 2"))).Message,
            StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("00:00:00:00", TimecodeRate.Ebu25, 0, 0)]
    [InlineData("00:00:00:00", TimecodeRate.Film24, .5, 0)]
    [InlineData("10:00:00;00", TimecodeRate.Drop2997, .5, 0)]
    [InlineData("19:57:55:27", TimecodeRate.Smpte30, .01, 0)]
    [InlineData("01:02:03:04", TimecodeRate.Ebu25, .5, .01)]
    [InlineData("01:02:03:04", TimecodeRate.Ebu25, 1, .5)]
    public void The_first_frame_is_not_lost(string first, TimecodeRate rate, double leader, double hiss)
    {
        Assert.SkipUnless(LibLtc.IsThere, "libltc is missing (Debian package libltc11)");
        Assert.True(Timecode.TryParse(first, rate, out var start));
        var random = new Random(3);
        float[] sound =
        [
            .. Enumerable.Range(0, (int)(leader * SampleRate)).Select(_ => (float)(hiss * ((2 * random.NextDouble()) - 1))),
            .. LibLtc.Sound(SampleRate, rate, start, 12),
        ];
        var found = Read(sound);
        Assert.Equal(Enumerable.Range(0, 12).Select(i => Timecode.FromFrameNumber(start.FrameNumber + i, rate)), found.Select(f => f.Timecode));
        Assert.All(found.Select((f, i) => f.At.TotalSeconds - leader - (i * Timecode.FrameSeconds(rate))), d => Assert.InRange(d, -.0005, .0005));
    }

    [Theory]
    [InlineData(TimecodeRate.Film24)]
    [InlineData(TimecodeRate.Ebu25)]
    [InlineData(TimecodeRate.Drop2997)]
    [InlineData(TimecodeRate.Smpte30)]
    public void Tape_that_runs_backwards_reads_over_midnight_too(TimecodeRate rate)
    {
        Assert.SkipUnless(LibLtc.IsThere, "libltc is missing (Debian package libltc11)");
        const int Frames = 100;
        var start = Timecode.FromFrameNumber(-60, rate);

        // The encoder's end is one frame of one level; turned round it comes first, and the last frame has no end.
        float[] sound = [.. Enumerable.Reverse(LibLtc.Sound(SampleRate, rate, start, Frames))];
        List<TimecodeAt> found = [];
        var decoder = new LtcDecoder(SampleRate, found.Add);
        decoder.Feed(sound);
        Assert.True(decoder.IsBackwards);
        Assert.Equal(rate, decoder.Rate);

        // Before a second's turn the rate is what the speed tells.
        var labels = found.Select(f => f.Timecode with { Rate = rate }).ToList();
        Assert.Equal(Enumerable.Range(0, Frames - 1).Select(i => Timecode.FromFrameNumber(start.FrameNumber + Frames - 1 - i, rate)), labels);
        Assert.All(found.Select((f, i) => f.At.TotalSeconds - ((i + 1) * Timecode.FrameSeconds(rate))), d => Assert.InRange(d, -.001, .001));

        // So does libltc, but for the frames that it needs to begin with.
        List<string> theirs = [];
        using var reader = new LibLtcReader((int)(SampleRate * Timecode.FrameSeconds(rate)));
        reader.Feed(sound, theirs.Add);
        Assert.Equal(labels.TakeLast(theirs.Count).Select(l => l.ToString().Replace(';', ':')), theirs);
        Assert.InRange(theirs.Count, Frames - 10, Frames);

        var track = new TimecodeTrack();
        found.ForEach(track.Add);
        Assert.Equal([TimecodeEventKind.Started, TimecodeEventKind.Turned], track.Events.Select(e => e.Kind));
        Assert.True(track.RunsBackwardsAt(found[^1].At));
    }

    [Theory]
    [InlineData(TimecodeRate.Film24)]
    [InlineData(TimecodeRate.Ebu25)]
    [InlineData(TimecodeRate.Drop2997)]
    [InlineData(TimecodeRate.Smpte30)]
    public void Midnight_is_no_jump(TimecodeRate rate)
    {
        Assert.SkipUnless(LibLtc.IsThere, "libltc is missing (Debian package libltc11)");
        var start = Timecode.FromFrameNumber(-40, rate);
        var found = Read(LibLtc.Sound(SampleRate, rate, start, 80));
        Assert.Equal(Enumerable.Range(0, 80).Select(i => Timecode.FromFrameNumber(start.FrameNumber + i, rate)), found.Select(f => f.Timecode));
        var track = new TimecodeTrack();
        found.ForEach(track.Add);
        Assert.Equal([TimecodeEventKind.Started], track.Events.Select(e => e.Kind));
    }

    [Fact]
    public void A_label_that_no_other_bears_out_is_not_told_and_a_jump_is_with_its_first()
    {
        Assert.SkipUnless(LibLtc.IsThere, "libltc is missing (Debian package libltc11)");
        var start = new Timecode(1, 0, 0, 0, TimecodeRate.Ebu25);
        using var encoder = new LibLtc(SampleRate, TimecodeRate.Ebu25, start);
        List<float> sound = [];
        var frame = new float[SampleRate];
        int[] labels = [.. Enumerable.Range(90_000, 20), 400_000, .. Enumerable.Range(90_021, 20), .. Enumerable.Range(200_000, 20), 90_000, 90_000, 90_000];
        foreach (var label in labels)
        {
            encoder.GoTo(Timecode.FromFrameNumber(label, TimecodeRate.Ebu25));
            sound.AddRange(frame.AsSpan(0, encoder.Next(frame)));
        }

        sound.AddRange(frame.AsSpan(0, encoder.End(frame)));
        Assert.Equal(labels.Where(l => l != 400_000), Read([.. sound]).Select(f => f.Timecode.FrameNumber));
    }

    [Fact]
    public void Tape_that_comes_back_three_times_as_fast_is_read_from_its_first_frame()
    {
        Assert.SkipUnless(LibLtc.IsThere, "libltc is missing (Debian package libltc11)");
        var start = new Timecode(1, 0, 0, 0, TimecodeRate.Ebu25);
        float[] sound =
        [
            .. LibLtc.Sound(SampleRate, TimecodeRate.Ebu25, start, 30), .. new float[SampleRate / 4],
            .. LibLtc.Sound(SampleRate / 3.0, TimecodeRate.Ebu25, start, 30),
        ];
        Assert.Equal([.. Enumerable.Range(90_000, 30), .. Enumerable.Range(90_000, 30)], Read(sound).Select(f => f.Timecode.FrameNumber));
    }

    private static List<TimecodeAt> Read(float[] sound)
    {
        List<TimecodeAt> found = [];
        new LtcDecoder(SampleRate, found.Add).Feed(sound);
        return found;
    }
}
