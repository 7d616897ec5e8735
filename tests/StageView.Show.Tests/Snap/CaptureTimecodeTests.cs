using StageView.Show.Snap;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;

namespace StageView.Show.Tests.Snap;

public sealed class CaptureTimecodeTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(TimecodeRate.Ebu25)]
    [InlineData(TimecodeRate.Drop2997)]
    public void A_show_over_midnight_is_one_stretch_and_is_paired_by_its_labels(TimecodeRate rate)
    {
        // Both run over midnight; the second does so three seconds earlier, after a stretch of before and with another one later.
        var (a, b) = (Read("a", rate, (0, -10, 30)), Read("b", rate, (0, -1000, 10), (40, -13, 30), (80, 3600, 10)));
        Assert.Single(a.Jumps);
        Assert.Equal(3, b.Jumps.Count);
        Assert.Equal([(0.0, 43.0)], a.PairsWith(b).Select(p => (p.A, Math.Round(p.B, 1))));
        Assert.Equal([(0.0, -990.0), (40.0, -3.0), (80.0, 3610.0)], b.PairsWith(a).Select(p => (Math.Round(p.A, 1), Math.Round(p.B, 1))));
        Assert.StartsWith("00:00:05", a.LabelAt(TimeSpan.FromSeconds(15.02)), StringComparison.Ordinal);
    }

    /// <summary>Stretches of labels: from so many seconds of the capture on, seconds after midnight, for so many seconds.</summary>
    private CaptureTimecode Read(string name, TimecodeRate rate, params (double At, double From, double Length)[] stretches)
    {
        var path = _folder[name + ".pcapng"];
        using (var writer = new PcapngWriter(File.Create(path), DateTimeOffset.UnixEpoch.AddYears(50)))
        {
            var frame = Timecode.FrameSeconds(rate);
            var packet = new byte[64];
            foreach (var (at, from, length) in stretches)
            {
                var first = (int)Math.Round(from / frame);
                for (var i = 0; i * frame < length; i++)
                {
                    var count = ArtTimeCode.Write(packet, Timecode.FromFrameNumber(first + i, rate));
                    writer.Write(TimeSpan.FromSeconds(at + (i * frame)), SourceAddress.IPv4(0x0A00_0001, 6454), SourceAddress.IPv4(0x0A00_0002, 6454),
                        packet.AsSpan(0, count));
                }
            }
        }

        return CaptureTimecode.Read(path);
    }
}
