using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>What a datagram is to a recording.</summary>
internal static class CaptureContent
{
    public static bool IsShow(ReadOnlySpan<byte> payload) => IsArtNet(payload) || E131Parser.Kind(payload) != E131PacketKind.None;

    public static bool IsArtNet(ReadOnlySpan<byte> payload) => ArtNetParser.OpCode(payload) != ArtOpCode.None;

    /// <summary>Where it went. The system tells a wildcard socket no group, so that is worked out from the packet as a sender does (E1.31 §9.3).</summary>
    public static SourceAddress Destination(SourceAddress local, ReadOnlySpan<byte> payload)
    {
        var wildcard4 = local.IsIPv4 && local.IPv4Value == 0;
        var wildcard6 = local.High == 0 && local.Low == 0;
        if (!wildcard4 && !wildcard6)
        {
            return local;
        }

        var group = 0;
        switch (E131Parser.Kind(payload))
        {
            case E131PacketKind.Data when E131Parser.TryParse(payload, out E131DataPacket data, out _):
                group = data.Universe.Value;
                break;
            case E131PacketKind.Sync when E131Parser.TryParseSync(payload, out var sync, out _):
                group = sync.SyncAddress;
                break;
            case E131PacketKind.Discovery:
                group = E131Numbers.DiscoveryUniverse;
                break;
            default:
                return local;
        }

        return wildcard4
            ? SourceAddress.IPv4(0xEFFF_0000u | (uint)group, local.Port)
            : SourceAddress.From(new System.Net.IPEndPoint(E131Numbers.Group6(group), local.Port));
    }
}
