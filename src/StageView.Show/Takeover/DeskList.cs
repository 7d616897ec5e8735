using System.Text;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Takeover;

/// <summary>The desks of a capture. Bounded: of more than 256 the rest is left out.</summary>
internal sealed class DeskList
{
    private const int Most = 256;
    private readonly Dictionary<(SourceAddress Host, string Name), Desk> _desks = [];
    private readonly Dictionary<int, string> _names = [];

    private DeskList()
    {
    }

    /// <summary>In the order of their first packets.</summary>
    public IReadOnlyList<Desk> All => [.. _desks.Values.Where(d => d.Packets > 0).OrderBy(d => d.From)];

    /// <summary>Reads a capture through.</summary>
    /// <param name="capture">The file.</param>
    /// <param name="artNet">Which universe a port-address is.</param>
    /// <param name="problem">Told when it is cut or damaged.</param>
    /// <exception cref="CaptureException">The file can't be read as a capture.</exception>
    public static DeskList Of(string capture, ArtNetMapping artNet, Action<string> problem)
    {
        var list = new DeskList();
        foreach (var datagram in CaptureReader.Read(capture, problem))
        {
            list.Take(datagram, artNet);
        }

        return list;
    }

    /// <summary>Which datagrams of the capture a desk sent; Art-Net of a host counts as of the first desk there.</summary>
    public Func<CapturedDatagram, bool> Only(Desk desk)
    {
        var host = _desks.First(d => d.Value == desk).Key.Host;
        var first = All.First(d => d.Host == desk.Host) == desk;
        var alone = All.Count(d => d.Host == desk.Host) == 1;
        return d => (d.From with { Port = 0 }) == host && (alone || (NameOf(d.Payload.Span) is { } name ? name == desk.Name : first));
    }

    private void Take(CapturedDatagram d, ArtNetMapping artNet)
    {
        var payload = d.Payload.Span;
        var (universe, priority) = (0, (int)E131Numbers.DefaultPriority);
        if (E131Parser.Kind(payload) == E131PacketKind.Data && E131Parser.TryParse(payload, out E131DataPacket data, out _))
        {
            (universe, priority) = (data.Universe.Value, data.Priority);
            if (data.Terminated || data.StartCode != E131Numbers.NullStartCode)
            {
                return;
            }
        }
        else if (ArtNetParser.OpCode(payload) == ArtOpCode.Dmx && ArtNetParser.TryParse(payload, out ArtDmxPacket dmx, out _)
            && artNet.TryMap(dmx.PortAddress, out var number))
        {
            universe = number.Value;
        }
        else
        {
            return;
        }

        if (Find(d.From with { Port = 0 }, NameOf(payload)) is { } desk)
        {
            desk.From = desk.Packets == 0 ? d.At.TotalSeconds : desk.From;
            desk.To = Math.Max(desk.To, d.At.TotalSeconds);
            desk.Packets++;
            desk.Priorities += priority;
            desk.Sent.Add(universe);
        }
    }

    private Desk? Find(SourceAddress host, string? name)
    {
        // Art-Net names no sender: what of it comes from a desk's host is the desk's.
        var key = name is not null ? (Host: host, Name: name) : _desks.Keys.FirstOrDefault(k => k.Host == host, (Host: host, Name: ""));
        if (!_desks.TryGetValue(key, out var desk) && _desks.Count < Most)
        {
            var text = host.ToString();
            if (name is not null && _desks.Remove((host, ""), out var unnamed))
            {
                // It was heard by Art-Net before.
                desk = new Desk(unnamed.Host, name) { Packets = unnamed.Packets, From = unnamed.From, To = unnamed.To, Priorities = unnamed.Priorities };
                desk.Sent.UnionWith(unnamed.Sent);
            }
            else
            {
                desk = new Desk(text[..text.LastIndexOf(':')], key.Name);
            }

            _desks.Add(key, desk);
        }

        return desk;
    }

    /// <summary>The source name of an E1.31 packet; null for all else. Of a packet without one (synchronisation) null, too.</summary>
    private string? NameOf(ReadOnlySpan<byte> payload)
    {
        if (E131Parser.Kind(payload) is not (E131PacketKind.Data or E131PacketKind.Discovery))
        {
            return null;
        }

        var bytes = payload.Slice(44, 64);
        bytes = bytes.IndexOf((byte)0) is >= 0 and var end ? bytes[..end] : bytes;
        var hash = new HashCode();
        hash.AddBytes(bytes);
        var key = hash.ToHashCode();
        if (!_names.TryGetValue(key, out var name) || Encoding.UTF8.GetByteCount(name) != bytes.Length)
        {
            name = PlainText.From(bytes);
            if (_names.Count < Most)
            {
                _names[key] = name;
            }
        }

        return name;
    }
}
