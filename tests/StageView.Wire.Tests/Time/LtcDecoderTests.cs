using StageView.Wire.Clock;
using StageView.Wire.Time;
using Timecode = StageView.Wire.Clock.Timecode;

namespace StageView.Wire.Tests.Time;

/// <summary>Our reading of LTC against the encoder of libltc.</summary>
public sealed class LtcDecoderTests
{
    // Ten minutes at each rate, read plain, upside down, at -40 dB as 16-bit sound holds it, and (in a run of its own) at half speed.
    [Theory]
    [InlineData(TimecodeRate.Film24, 24_000, 1)]
    [InlineData(TimecodeRate.Ebu25, 24_000, 1)]
    [InlineData(TimecodeRate.Drop2997, 24_000, 1)]
    [InlineData(TimecodeRate.Smpte30, 44_100, 1)]
    [InlineData(TimecodeRate.Film24, 24_000, 2)]
    [InlineData(TimecodeRate.Ebu25, 24_000, 2)]
    [InlineData(TimecodeRate.Drop2997, 24_000, 2)]
    [InlineData(TimecodeRate.Smpte30, 22_050, 2)]
    public void Ten_minutes_are_read_without_an_error(TimecodeRate rate, int sampleRate, int slower)
    {
        if (!LibLtc.IsThere)
        {
            Assert.Skip("libltc is missing (Debian package libltc11)");
        }

        var start = Timecode.FromFrameNumber((Timecode.DayFrames(rate) / 24 * 10) - 500, rate);
        var frames = (int)(600 / Timecode.FrameSeconds(rate));
        using var encoder = new LibLtc(sampleRate * slower, rate, start);
        // At half speed a frame lasts twice as long in samples.
        var sample = new float[sampleRate];
        var readings = new List<TimecodeAt>[] { [], [], [] };
        var decoders = readings.Select(r => new LtcDecoder(sampleRate, r.Add)).ToArray();
        var changed = new float[sampleRate];
        var expected = new List<string>();
        for (var i = 0; i <= frames; i++)
        {
            var (h, m, s, f) = encoder.Label;
            expected.Add(new Timecode(h, m, s, f, rate).ToString());
            if (i == frames)
            {
                // What follows the last frame is the end of the sound, which is a loss and rightly counted as one.
                Assert.All(decoders, d => Assert.Equal(0, d.Losses));
            }

            var n = i < frames ? encoder.Next(sample) : encoder.End(sample);
            decoders[0].Feed(sample.AsSpan(0, n));
            if (slower == 1)
            {
                for (var k = 0; k < n; k++)
                {
                    changed[k] = -sample[k];
                }

                decoders[1].Feed(changed.AsSpan(0, n));
                for (var k = 0; k < n; k++)
                {
                    changed[k] = MathF.Round(sample[k] * 0.01f * 32767) / 32768;
                }

                decoders[2].Feed(changed.AsSpan(0, n));
            }
        }

        expected.RemoveAt(expected.Count - 1);
        for (var d = 0; d < (slower == 1 ? 3 : 1); d++)
        {
            Assert.Equal(expected, readings[d].Select(r => r.Timecode with { Rate = rate }).Select(t => t.ToString()));
            Assert.Equal(rate, decoders[d].Rate);
            var frame = Timecode.FrameSeconds(rate) * slower;
            Assert.All(readings[d].Select((r, i) => (r.At.TotalSeconds, i * frame)), p => Assert.InRange(p.Item1 - p.Item2, -0.0005, 0.0005));
        }
    }

    [Fact]
    public void Noise_silence_and_music_give_no_timecode_and_it_recovers_after_them()
    {
        if (!LibLtc.IsThere)
        {
            Assert.Skip("libltc is missing (Debian package libltc11)");
        }

        var found = new List<TimecodeAt>();
        var decoder = new LtcDecoder(48_000, found.Add);
        var random = new Random(7);
        var noise = new float[96_000];
        for (var i = 0; i < noise.Length; i++)
        {
            noise[i] = i < 48_000 ? (float)((random.NextDouble() * 2) - 1) : (float)(Math.Sin(i * 0.03) * Math.Sin(i * 0.0411));
        }

        decoder.Feed(noise);
        decoder.Feed(new float[48_000]);
        Assert.Empty(found);
        using var encoder = new LibLtc(48_000, TimecodeRate.Ebu25, new Timecode(1, 2, 3, 4, TimecodeRate.Ebu25));
        var sample = new float[48_000];
        for (var i = 0; i < 50; i++)
        {
            var n = encoder.Next(sample);
            decoder.Feed(sample.AsSpan(0, n));
        }

        Assert.Equal("01:02:03:04", found[0].Timecode.ToString());
        Assert.InRange(found[0].At.TotalSeconds, 3 - 0.0005, 3 + 0.0005);
        Assert.Equal(49, found.Count); // the last one's last bit has no end in this sound
        Assert.Equal("01:02:05:02", found[^1].Timecode.ToString());
    }

    [Fact]
    public void A_WAV_file_is_read_by_channel_and_asked_by_label()
    {
        if (!LibLtc.IsThere)
        {
            Assert.Skip("libltc is missing (Debian package libltc11)");
        }

        var path = Tools.TempFile("ltc.wav");
        using (var encoder = new LibLtc(48_000, TimecodeRate.Smpte30, new Timecode(10, 0, 0, 0, TimecodeRate.Smpte30)))
        using (var file = new BinaryWriter(File.Create(path)))
        {
            file.Write("RIFF"u8);
            file.Write(0);
            file.Write("WAVEfmt "u8);
            file.Write(16);
            file.Write((short)1);
            file.Write((short)2);
            file.Write(48_000);
            file.Write(48_000 * 4);
            file.Write((short)4);
            file.Write((short)16);
            file.Write("data"u8);
            file.Write(0); // a recorder that was cut off
            var sample = new float[48_000];
            for (var i = 0; i < 300; i++)
            {
                var n = encoder.Next(sample);
                for (var k = 0; k < n; k++)
                {
                    file.Write((short)0);
                    file.Write((short)(sample[k] * 8000));
                }
            }
        }

        var track = TimecodeFile.FromSound(path, channel: 1);
        Assert.True(track.TryFind("10:00:05:15", out var at));
        Assert.Equal(5.5, at.TotalSeconds, 3);
        Assert.Empty(TimecodeFile.FromSound(path, channel: 0).Events);
        Assert.Throws<Wire.Capture.CaptureException>(() => TimecodeFile.FromSound(path, channel: 2));
    }
}
