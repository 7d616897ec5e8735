using StageView.Wire.Clock;
using StageView.Wire.Time;
using Timecode = StageView.Wire.Clock.Timecode;

namespace StageView.Wire.Tests.Time;

/// <summary>Our decoder beside libltc's own, on sound as it comes out of long cables, tape and cheap sound cards.</summary>
public sealed class LtcAgainstLibltcTests
{
    private const int SampleRate = 48_000;

    [Theory]
    [InlineData("clean")]
    [InlineData("noise -30 dB")]
    [InlineData("noise -20 dB")]
    [InlineData("noise -14 dB")]
    [InlineData("dull above 3 kHz")]
    [InlineData("dull above 1.5 kHz")]
    [InlineData("thin below 300 Hz")]
    [InlineData("hum -12 dB")]
    [InlineData("offset")]
    [InlineData("clipped")]
    [InlineData("level swings by 20 dB")]
    [InlineData("dropouts")]
    public void Reads_no_fewer_labels_than_libltc_and_no_wrong_ones(string what)
    {
        if (!LibLtc.IsThere)
        {
            Assert.Skip("libltc is missing (Debian package libltc11)");
        }

        const int Frames = 25 * 30;
        using var encoder = new LibLtc(SampleRate, TimecodeRate.Ebu25, new Timecode(13, 57, 48, 0, TimecodeRate.Ebu25));
        using var theirs = new LibLtcReader(SampleRate / 25);
        HashSet<string> expected = [], found = [], foundByThem = [];
        var wrong = 0;
        var ours = new LtcDecoder(SampleRate, t => _ = expected.Contains(t.Timecode.ToString()) ? found.Add(t.Timecode.ToString()) : wrong++ < 0);
        var random = new Random(11);
        var sample = new float[SampleRate];
        double low = 0, high = 0, before = 0, t = 0;
        for (var i = 0; i < Frames; i++)
        {
            var (h, m, s, f) = encoder.Label;
            expected.Add($"{h:00}:{m:00}:{s:00}:{f:00}");
            var n = encoder.Next(sample);
            for (var k = 0; k < n; k++, t += 1.0 / SampleRate)
            {
                double x = sample[k];
                var noise = (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5) * 2;
                double First(double hertz) => low += (x - low) * (1 - Math.Exp(-2 * Math.PI * hertz / SampleRate));
                x = what switch
                {
                    "noise -30 dB" => x + (0.032 * noise),
                    "noise -20 dB" => x + (0.1 * noise),
                    "noise -14 dB" => x + (0.2 * noise),
                    "dull above 3 kHz" => First(3000),
                    "dull above 1.5 kHz" => First(1500),
                    "thin below 300 Hz" => high = Math.Exp(-2 * Math.PI * 300 / SampleRate) * (high + x - before),
                    "hum -12 dB" => x + (0.25 * Math.Sin(2 * Math.PI * 50 * t)),
                    "offset" => x + 0.3,
                    "clipped" => Math.Clamp(x * 20, -1, 1),
                    "level swings by 20 dB" => x * (0.55 + (0.45 * Math.Sin(2 * Math.PI * 0.7 * t))),
                    "dropouts" => i % 40 == 7 && k is > 600 and < 900 ? 0 : x,
                    _ => x,
                };
                before = sample[k];
                sample[k] = (float)x;
            }

            ours.Feed(sample.AsSpan(0, n));
            theirs.Feed(sample.AsSpan(0, n), label => _ = expected.Contains(label) && foundByThem.Add(label));
        }

        TestContext.Current.TestOutputHelper?.WriteLine($"{what}: ours {found.Count}, libltc {foundByThem.Count} of {Frames}, {wrong} wrong");
        Assert.Equal(0, wrong);
        // Both need a frame or two to begin with.
        Assert.True(found.Count >= foundByThem.Count - 3, $"ours {found.Count}, libltc {foundByThem.Count} of {Frames}");
        // libltc gives up altogether in the loudest noise; the other kinds must be a comparison.
        Assert.True(what == "noise -14 dB" ? found.Count > Frames - 10 : foundByThem.Count > Frames * 9 / 10);
    }
}
