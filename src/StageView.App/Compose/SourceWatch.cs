using StageView.Rig;
using StageView.Wire;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.E131;

namespace StageView.App.Compose;

/// <summary>Who sent one universe last, up to a time of a capture.</summary>
internal static class SourceWatch
{
    /// <summary>Seconds after which an sACN source counts as lost (E1.31 §6.7.1) and an Art-Net one is dropped (Art-Net 4: held for 10 s).</summary>
    private static readonly Dictionary<SourceProtocol, double> LostAfter = new() { [SourceProtocol.E131] = 2.5, [SourceProtocol.ArtNet] = 10 };

    /// <param name="rig">For the mapping of Art-Net's port-addresses.</param>
    /// <param name="capture">The file.</param>
    /// <param name="universe">Which universe.</param>
    /// <param name="until">Packets up to then count.</param>
    public static IReadOnlyList<SourceSeen> Of(RigScene rig, string capture, UniverseNumber universe, TimeSpan until)
    {
        var seen = new Dictionary<string, SourceSeen>(StringComparer.Ordinal);
        using var reader = CaptureReader.Open(capture);
        while (reader.TryRead(out var datagram) && datagram.At <= until)
        {
            var bytes = datagram.Payload.Span;
            if (E131Parser.TryParse(bytes, out var data, out _))
            {
                if (data.Universe == universe && data.StartCode == 0)
                {
                    var key = "sACN " + data.Cid;
                    seen[key] = new SourceSeen(
                        "sACN", PlainText.From(data.SourceName), datagram.From.ToString(), data.Priority, datagram.At.TotalSeconds, data.Levels.ToArray(),
                        data.Terminated, data.Preview, Lost(SourceProtocol.E131, datagram.At, until));
                }
            }
            else if (ArtNetParser.TryParse(bytes, out var dmx, out _)
                && rig.Network.ArtNet.TryMap(dmx.PortAddress, out var mapped) && mapped == universe)
            {
                seen["ArtNet " + datagram.From] = new SourceSeen(
                    "Art-Net", "", datagram.From.ToString(), 100, datagram.At.TotalSeconds, dmx.Levels.ToArray(), false, false, Lost(SourceProtocol.ArtNet, datagram.At, until));
            }
        }

        return [.. seen.Values.OrderByDescending(s => s.LastSeconds)];
    }

    private static bool Lost(SourceProtocol protocol, TimeSpan last, TimeSpan now) => (now - last).TotalSeconds > LostAfter[protocol];
}

/// <summary>One sender of a universe.</summary>
/// <param name="Protocol">sACN or Art-Net.</param>
/// <param name="Name">The name it gives itself.</param>
/// <param name="Address">Where it sends from.</param>
/// <param name="Priority">Its priority; Art-Net has none and counts as 100.</param>
/// <param name="LastSeconds">Show time of its last packet.</param>
/// <param name="Levels">The levels in it.</param>
/// <param name="Terminated">It said that it ends.</param>
/// <param name="Preview">It said that it is preview data.</param>
/// <param name="Lost">Not heard for so long that it counts as gone.</param>
internal sealed record SourceSeen(
    string Protocol, string Name, string Address, int Priority, double LastSeconds, byte[] Levels, bool Terminated, bool Preview, bool Lost);
