using System.Net;
using System.Net.Sockets;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Sockets;

/// <summary>
/// Answers ArtPoll as a receiving node: unicast to the host that asked, on Art-Net's own port, whatever port it asked from (the specification names
/// one port, 0x1936, for all packets), after a random delay of up to a second so that many nodes don't answer at once. At most a few answers wait
/// at a time, whoever asks.
/// </summary>
internal sealed class PollAnswerer(IReadOnlyCollection<int> portAddresses, ArtNetMapping mapping, ushort port, UniverseMerger merger, Random random)
{
    private const int MostWaiting = 16;
    private readonly List<(TimeSpan Due, SourceAddress To, SourceAddress Local, ArtPollPacket Poll)> _waiting = [];
    private readonly byte[] _buffer = new byte[ArtPollReply.Length];
    private readonly Dictionary<uint, byte[]> _macs = [];

    public long Answers { get; private set; }

    public void Take(TimeSpan at, SourceAddress from, SourceAddress local, ReadOnlySpan<byte> payload)
    {
        // Called for every packet: what follows a poll lies in a method of its own, whose closure would else be made for each.
        if (ArtNetParser.OpCode(payload) == ArtOpCode.Poll && ArtNetParser.TryParsePoll(payload, out var poll, out _))
        {
            Wait(at, from, local, poll);
        }
    }

    /// <summary>Sends what is due.</summary>
    /// <param name="now">Show time.</param>
    /// <param name="socketAt">The socket bound to a local address, or null.</param>
    public void Send(TimeSpan now, Func<SourceAddress, Socket?> socketAt)
    {
        for (var i = _waiting.Count - 1; i >= 0; i--)
        {
            var (due, to, local, poll) = _waiting[i];
            if (due > now)
            {
                continue;
            }

            _waiting.RemoveAt(i);
            if (socketAt(local) is { } socket)
            {
                Answer(socket, to, poll);
            }
        }
    }

    private void Wait(TimeSpan at, SourceAddress from, SourceAddress local, ArtPollPacket poll)
    {
        var to = new SourceAddress(from.High, from.Low, port);
        if (from.IsIPv4 && _waiting.Count < MostWaiting && !_waiting.Exists(w => w.To == to))
        {
            _waiting.Add((at + TimeSpan.FromSeconds(random.NextDouble()), to, local, poll));
        }
    }

    private void Answer(Socket socket, SourceAddress to, ArtPollPacket poll)
    {
        var own = (IPEndPoint)socket.LocalEndPoint!;
        var local = SourceAddress.From(own).IPv4Value;
        if (!_macs.TryGetValue(local, out var mac))
        {
            _macs[local] = mac = new LocalInterfaces().Of(own.Address)?.GetPhysicalAddress().GetAddressBytes() ?? [];
        }

        var page = 0;
        foreach (var ports in ArtPollReply.Pages(portAddresses))
        {
            page++;
            if (poll.Targeted && !ports.Any(p => p >= poll.Bottom && p <= poll.Top))
            {
                continue;
            }

            ArtPollReply.Write(_buffer, local, port, ports, page, mac, p => Live(p) > 0, p => Live(p) > 1);
            try
            {
                socket.SendTo(_buffer, to.ToEndPoint());
                Answers++;
            }
            catch (SocketException)
            {
                // Who asked can't be reached; it will ask again.
                return;
            }
        }
    }

    private int Live(ushort portAddress) => mapping.TryMap(portAddress, out var universe) ? merger.LiveSources(universe, SourceProtocol.ArtNet) : 0;
}
