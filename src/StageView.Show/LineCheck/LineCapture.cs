using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Show.LineCheck;

/// <summary>A line check as a capture: each fixture for the same time, then none for two seconds.</summary>
public static class LineCapture
{
    private static readonly TimeSpan s_dark = TimeSpan.FromSeconds(2);
    private static readonly SourceAddress s_from = SourceAddress.IPv4(0x7F00_0001, E131Numbers.Port);

    /// <param name="plan">What is lit.</param>
    /// <param name="hold">How long each.</param>
    /// <param name="stream">Where the capture goes (pcapng).</param>
    /// <param name="start">Its first stamp.</param>
    /// <returns>Packets written.</returns>
    public static long Write(LinePlan plan, TimeSpan hold, Stream stream, DateTimeOffset start)
    {
        ArgumentNullException.ThrowIfNull(plan);
        using var writer = new PcapngWriter(stream, start);
        var sender = new LineSender(plan, "StageView line check");
        var packets = 0L;
        for (var at = TimeSpan.Zero; at < (plan.Steps.Count * hold) + s_dark; at += LineSender.TickTime)
        {
            sender.Tick(at, (int)(at / hold), (universe, packet) =>
            {
                writer.Write(at, s_from, SourceAddress.IPv4(0xEFFF_0000u | (uint)universe, E131Numbers.Port), packet);
                packets++;
            });
        }

        return packets;
    }
}
