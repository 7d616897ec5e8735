using StageView.Show.Snap;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.E131;

namespace StageView.Show.Tests.Snap;

/// <summary>The demo's capture against itself as another machine would have recorded it.</summary>
public sealed class ShowsRunTests : IDisposable
{
    private readonly TempFolder _temp = new();
    private readonly string _whole = Repo.File("scenes", "foundry", "foundry.pcapng");

    public void Dispose() => _temp.Dispose();

    /// <summary>Packets a few milliseconds late, each by its own, and a clock that runs two thousandths slow: the same show.</summary>
    [Fact]
    public void A_recording_with_jitter_and_drift_is_the_same_show()
    {
        var random = new Random(3);
        var answer = Ask((at, _) => (at * 1.002) + TimeSpan.FromMilliseconds(random.NextDouble() * 4));
        Assert.Empty(answer.Partings);
        Assert.Empty(answer.Timing);
        Assert.Matches(@"by timecode; the second capture's clock runs slow: 0\.0[67]\d* s over the show", answer.Alignment);
    }

    [Fact]
    public void A_universe_that_is_missing_is_one_finding()
    {
        var answer = Ask((at, packet) => UniverseOf(packet) == 2 ? null : at);
        Assert.Empty(answer.Partings);
        Assert.Equal(["universe 2 is in the first capture alone: 6 fixtures take levels from it"], answer.Missing);
        Assert.True(answer.IsDifference);
    }

    /// <summary>The first channel of head 113, one coarse level off for a tenth of a second.</summary>
    [Fact]
    public void One_coarse_level_for_a_tenth_of_a_second_is_a_difference()
    {
        var answer = Ask((at, packet) =>
        {
            if (UniverseOf(packet) == 3 && at.TotalSeconds is >= 20 and < 20.1)
            {
                packet[126] ^= 1;
            }

            return at;
        });
        var one = Assert.Single(answer.Partings);
        Assert.Equal(("down head 1", "Pan"), (one.Name, one.Attribute));
    }

    // The second capture's timecode jumps 10 s on at 20 s: content that starts by it comes 10 s sooner, aligned by time.
    [Fact]
    public void Content_by_timecode_is_compared_by_what_it_shows_when()
    {
        var rig = Rig("a", "01:00:25:00");
        var answer = Ask((at, packet) =>
        {
            if (ArtTimeCode.TryParse(packet, out var label, out _) && at.TotalSeconds >= 20)
            {
                ArtTimeCode.Write(packet, Timecode.FromFrameNumber(label.FrameNumber + (10 * Timecode.Count(label.Rate)), label.Rate));
            }

            return at;
        }, rig, align: "time");
        var told = Assert.Single(answer.Content);
        Assert.Matches("^ +20\\.\\d+ to \\d\\d\\.\\d+ s  content \"wall\" shows nothing -> shows its (4|5)\\.\\d\\d s$", told);
        Assert.True(answer.IsDifference);
        Assert.Empty(Ask((at, _) => at + TimeSpan.FromSeconds(3), rig).Content);
    }

    [Fact]
    public void Contents_of_two_rigs_are_told_apart()
    {
        var answer = Ask((at, _) => at, Rig("a", "01:00:25:00"), second: Rig("b", "01:00:27:00"));
        Assert.Contains("content \"wall\", file: a.png -> b.png", answer.Content);
        Assert.Contains(answer.Content, c => c.Contains("01:00:25:00 -> 01:00:27:00", StringComparison.Ordinal));
        Assert.Contains(answer.Content, c => c.EndsWith("content \"wall\" shows nothing -> shows its 0.00 s", StringComparison.Ordinal)
            || c.Contains("-> shows nothing", StringComparison.Ordinal));
    }

    private string Rig(string name, string start)
    {
        File.WriteAllText(_temp[$"{name}.png"], name);
        _temp.File("strip.fixture.jsonc", """
            {
              "name": "Strip",
              "geometry": [{ "name": "face", "pixels": { "columns": 4, "rows": 1, "size": [1, 0.1], "luminance": 1000 } }],
              "modes": [{ "name": "Pixels", "channels": [], "pixels": [{ "geometry": "face" }] }]
            }
            """);
        return _temp.File($"{name}.rig.jsonc", $$"""
            {
              "hangs": [{ "name": "strip", "profile": "strip", "at": [0, 0, 4], "patch": "1.1" }],
              "content": [{ "name": "wall", "file": "{{name}}.png", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 4, 0], "luminance": 1,
                "start": "tc:{{start}}", "clock": "timecode" },
                { "name": "camera", "input": { "address": "udp://10.0.0.1:9" }, "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 4, 0], "luminance": 1 }]
            }
            """);
    }

    private ShowsAnswer Ask(Func<TimeSpan, byte[], TimeSpan?> sent, string? rig = null, string? second = null, string align = "auto")
    {
        var other = _temp["other.pcapng"];
        using (var reader = CaptureReader.Open(_whole))
        using (var writer = new PcapngWriter(File.Create(other), DateTimeOffset.UnixEpoch.AddYears(50)))
        {
            var last = TimeSpan.Zero;
            while (reader.TryRead(out var datagram))
            {
                var packet = datagram.Payload.ToArray();
                if (sent(datagram.At, packet) is { } at)
                {
                    last = at > last ? at : last;
                    writer.Write(last, datagram.From, datagram.To, packet);
                }
            }
        }

        return ShowsRun.Run(
            new ShowsAsked(rig ?? Repo.File("scenes", "foundry", "foundry.rig.jsonc"), _whole, other, align, 0.1) { SecondRig = second });
    }

    private static int UniverseOf(byte[] packet) => E131Parser.TryParse(packet, out var parsed, out _) ? parsed.Universe.Value : 0;
}
