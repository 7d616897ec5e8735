using System.Net;
using StageView.Stage.Cues;
using StageView.Stage.Levels;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Cues;

/// <summary>
/// The sending side of a desk and a media server, into a capture file: sACN to its multicast groups, Art-Net to a node. A universe is sent at each tick
/// while it changes, three times more, then every 900 ms (E1.31 §6.6.2).
/// </summary>
internal sealed class DeskOutput : IDisposable
{
    private const double KeepAliveSeconds = .9;
    private static readonly TimeSpan BetweenPackets = TimeSpan.FromMicroseconds(110);
    private readonly PcapngWriter _writer;
    private readonly HashSet<int> _artNet;
    private readonly int _artNetOffset;
    private readonly Timecode _start;
    private readonly Cid _cid;
    private readonly byte[] _name;
    private readonly SourceAddress _from, _artNetFrom, _artNetTo;
    private readonly Dictionary<int, Sent> _sent = [];
    private readonly byte[] _packet = new byte[1200];
    private int _frame;

    public DeskOutput(Stream stream, CuePlayer show)
    {
        var seed = (ulong)show.Seed;
        _cid = new Cid(0x5354_4147_4556_4945 ^ seed, 0x8000_0000_0000_0000 | (seed * 0x9E37_79B9_7F4A_7C15));
        _artNet = [.. show.ArtNet];
        _artNetOffset = show.Levels.Rig.Network.ArtNet.Offset;
        _start = show.TimecodeStart;
        _name = System.Text.Encoding.UTF8.GetBytes(show.Sender.Source);
        (_from, _artNetFrom, _artNetTo) = (Address(show.Sender.From, 5568), Address(show.Sender.ArtNetFrom, 6454), Address(show.Sender.ArtNetTo, 6454));
        _writer = new PcapngWriter(stream, show.Sender.Start);
    }

    public long Packets { get; private set; }

    /// <summary>Of the file so far.</summary>
    public long Bytes => _writer.Length;

    /// <summary>One tick: sends what has changed or is due.</summary>
    /// <param name="at">Show time.</param>
    /// <param name="levels">All levels.</param>
    /// <param name="used">The last address in use of each universe; universes without any aren't sent.</param>
    public void Tick(TimeSpan at, LevelsEncoder levels, IReadOnlyList<int> used)
    {
        if (at.Ticks % TimeSpan.FromSeconds(10).Ticks == 0)
        {
            Discovery(at, [.. levels.Universes.Where((u, i) => used[i] > 0 && !_artNet.Contains(u)).Select(u => (ushort)u)]);
        }

        SendTimecode(at);
        var place = 0;
        for (var u = 0; u < levels.Universes.Count; u++)
        {
            if (used[u] == 0)
            {
                continue;
            }

            var universe = levels.Universes[u];
            var now = levels.LevelsOf(u)[..((used[u] + 1) & ~1)];
            if (!_sent.TryGetValue(universe, out var sent))
            {
                _sent[universe] = sent = new Sent(new byte[now.Length]);
            }
            else if (now.SequenceEqual(sent.Levels))
            {
                sent.Repeats++;
                if (sent.Repeats > 3 && (at - sent.At).TotalSeconds < KeepAliveSeconds)
                {
                    continue;
                }
            }
            else
            {
                sent.Repeats = 0;
            }

            now.CopyTo(sent.Levels);
            sent.At = at;
            Send(at + (place++ * BetweenPackets), universe, now, sent);
        }
    }

    public void Dispose() => _writer.Dispose();

    private void Send(TimeSpan at, int universe, ReadOnlySpan<byte> levels, Sent sent)
    {
        Packets++;
        if (_artNet.Contains(universe))
        {
            // Art-Net's sequence runs from 1 to 255 (0 is off).
            sent.Sequence = (byte)(sent.Sequence % 255 + 1);
            var length = ArtNetWriter.Write(_packet,
                new ArtDmxPacket { Sequence = sent.Sequence, PortAddress = (ushort)(universe - _artNetOffset), Levels = levels });
            _writer.Write(at, _artNetFrom, _artNetTo, _packet.AsSpan(0, length));
            return;
        }

        var count = E131Writer.Write(_packet, new E131DataPacket
        {
            Cid = _cid, SourceName = _name, Priority = 100, Sequence = sent.Sequence++, Universe = new UniverseNumber(universe), Levels = levels,
        });
        _writer.Write(at, _from, Address($"239.255.{universe >> 8}.{universe & 255}", 5568), _packet.AsSpan(0, count));
    }

    /// <summary>The timecode frames that began since the last tick, each at its own time.</summary>
    private void SendTimecode(TimeSpan at)
    {
        for (TimeSpan begins; (begins = Begin(_frame)) <= at; _frame++)
        {
            var count = ArtTimeCode.Write(_packet, Timecode.FromFrameNumber(_start.FrameNumber + _frame, _start.Rate));
            _writer.Write(begins, _artNetFrom, _artNetTo, _packet.AsSpan(0, count));
            Packets++;
        }
    }

    /// <summary>Whole ticks, so that no frame's time depends on the ones before.</summary>
    private TimeSpan Begin(int frame) => TimeSpan.FromTicks(_start.Rate == TimecodeRate.Drop2997
        ? frame * TimeSpan.TicksPerSecond * 1001 / 30_000 : frame * TimeSpan.TicksPerSecond / Timecode.Count(_start.Rate));

    private void Discovery(TimeSpan at, ushort[] universes)
    {
        // A page of universe discovery holds 512 (E1.31 §8.5).
        var pages = Math.Max(1, (universes.Length + 511) / 512);
        for (var page = 0; page < pages; page++)
        {
            var count = E131Writer.WriteDiscovery(_packet, _cid, _name, (byte)page, (byte)(pages - 1), universes.AsSpan().Slice(page * 512,
                Math.Min(512, universes.Length - (page * 512))));
            _writer.Write(at, _from, Address("239.255.250.214", 5568), _packet.AsSpan(0, count));
            Packets++;
        }
    }

    private static SourceAddress Address(string ip, ushort port) => SourceAddress.From(new IPEndPoint(IPAddress.Parse(ip), port));

    private sealed class Sent(byte[] levels)
    {
        public byte[] Levels { get; } = levels;

        public TimeSpan At { get; set; }

        public int Repeats { get; set; }

        public byte Sequence { get; set; }
    }
}
