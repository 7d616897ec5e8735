using StageView.Show.Snap;
using StageView.Wire.Capture;
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

    private ShowsAnswer Ask(Func<TimeSpan, byte[], TimeSpan?> sent)
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

        return ShowsRun.Run(new ShowsAsked(Repo.File("scenes", "foundry", "foundry.rig.jsonc"), _whole, other, "auto", 0.1));
    }

    private static int UniverseOf(byte[] packet) => E131Parser.TryParse(packet, out var parsed, out _) ? parsed.Universe.Value : 0;
}
