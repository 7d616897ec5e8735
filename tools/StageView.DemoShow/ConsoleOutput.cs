using System.Text.Json;
using StageView.Stage.Levels;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.DemoShow;

/// <summary>
/// The sending side of an invented console and media server, into a capture file: sACN to its multicast groups, Art-Net
/// to a node. A universe is sent at each tick while it changes, three times more, then every 900 ms (E1.31 §6.6.2).
/// </summary>
internal sealed class ConsoleOutput : IDisposable
{
    private const double KeepAliveSeconds = .9;
    private static readonly TimeSpan BetweenPackets = TimeSpan.FromMicroseconds(110);
    private readonly PcapngWriter _writer;
    private readonly HashSet<int> _artNet;
    private readonly int _artNetOffset;
    private readonly Cid _cid;
    private readonly Dictionary<int, Sent> _sent = [];
    private readonly byte[] _packet = new byte[1200];
    private int _frame;

    public ConsoleOutput(Stream stream, JsonElement show)
    {
        var seed = show.TryGetProperty("seed", out var s) ? s.GetUInt64() : 1;
        _cid = new Cid(0x5354_4147_4556_4945 ^ seed, 0x8000_0000_0000_0000 | (seed * 0x9E37_79B9_7F4A_7C15));
        _artNet = show.TryGetProperty("artNet", out var a) ? [.. a.EnumerateArray().Select(u => u.GetInt32())] : [];
        _artNetOffset = ArtNetMapping.Default.Offset;
        _writer = new PcapngWriter(stream, new DateTimeOffset(2026, 3, 14, 20, 0, 0, TimeSpan.Zero));
    }

    public long Packets { get; private set; }

    public long Bytes => _writer.Length;

    /// <summary>One tick: sends what has changed or is due.</summary>
    public void Tick(TimeSpan at, LevelsEncoder levels, IReadOnlyList<int> used)
    {
        if (at.Ticks % TimeSpan.FromSeconds(10).Ticks == 0)
        {
            Discovery(at, [.. levels.Universes.Where((u, i) => used[i] > 0 && !_artNet.Contains(u)).Select(u => (ushort)u)]);
        }

        Timecode(at);
        var place = 0;
        for (var u = 0; u < levels.Universes.Count; u++)
        {
            // What nothing is patched to isn't sent.
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
            _writer.Write(at, Address("10.20.0.20", 6454), Address("10.20.0.60", 6454), _packet.AsSpan(0, length));
            return;
        }

        var count = E131Writer.Write(_packet, new E131DataPacket
        {
            Cid = _cid, SourceName = "foundry desk"u8, Priority = 100, Sequence = sent.Sequence++, Universe = new UniverseNumber(universe), Levels = levels,
        });
        _writer.Write(at, Address("10.20.0.10", 5568), Address($"239.255.{universe >> 8}.{universe & 255}", 5568), _packet.AsSpan(0, count));
    }

    /// <summary>The timecode frames that began since the last tick, each at its own time: EBU's 25 a second, the show starts at one hour.</summary>
    private void Timecode(TimeSpan at)
    {
        for (; _frame * TimeSpan.TicksPerSecond / 25 <= at.Ticks; _frame++)
        {
            var count = ArtTimeCode.Write(_packet, Wire.Clock.Timecode.FromFrameNumber((3600 * 25) + _frame, TimecodeRate.Ebu25));
            _writer.Write(TimeSpan.FromTicks(_frame * TimeSpan.TicksPerSecond / 25), Address("10.20.0.20", 6454), Address("10.20.0.60", 6454),
                _packet.AsSpan(0, count));
            Packets++;
        }
    }

    private void Discovery(TimeSpan at, ushort[] universes)
    {
        var count = E131Writer.WriteDiscovery(_packet, _cid, "foundry desk"u8, 0, 0, universes);
        _writer.Write(at, Address("10.20.0.10", 5568), Address("239.255.250.214", 5568), _packet.AsSpan(0, count));
        Packets++;
    }

    private static SourceAddress Address(string ip, ushort port) => SourceAddress.From(new System.Net.IPEndPoint(System.Net.IPAddress.Parse(ip), port));

    private sealed class Sent(byte[] levels)
    {
        public byte[] Levels { get; } = levels;

        public TimeSpan At { get; set; }

        public int Repeats { get; set; }

        public byte Sequence { get; set; }
    }
}
