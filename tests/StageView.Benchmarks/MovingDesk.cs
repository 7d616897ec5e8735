using System.Net;
using System.Net.Sockets;
using StageView.Rig.Scene;
using StageView.Show.Sources;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>
/// Sends the front light's levels to loopback 40 times a second, a little different each time; with a capture also all levels of its mirror moment.
/// </summary>
internal sealed class MovingDesk : IDisposable
{
    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
    private readonly Timer _timer;
    private readonly Cid _cid = Cid.From(Guid.NewGuid());
    private readonly UniverseNumber _fronts;
    private readonly IPEndPoint _to;
    private readonly Dictionary<ushort, byte[]> _levels = [];
    private int _step;

    public MovingDesk(string rig, string? capture, int port)
    {
        _to = new IPEndPoint(IPAddress.Loopback, port);
        _fronts = RigLoader.TryLoad(rig, out var scene, out _)
            ? scene.Fixtures.First(f => f.Groups.Contains("fronts")).Patch[0].Start.Universe
            : throw new InvalidOperationException($"{rig} can't be read");
        if (capture is not null)
        {
            using var reader = CaptureReader.Open(capture);
            new CapturePlayer(reader, new UniverseMerger(scene.Network.ToWireSettings(), new Keep(_levels))).PlayTo(
                CueTimes.Find(capture, "mirror moment").Time);
        }

        _levels[(ushort)_fronts.Value] = new byte[512];
        _timer = new Timer(_ => Send(), null, 0, 25);
    }

    public void Dispose()
    {
        _timer.Dispose();
        _socket.Dispose();
    }

    private void Send()
    {
        lock (_levels)
        {
            _levels[(ushort)_fronts.Value].AsSpan().Fill((byte)(128 + (_step++ % 100)));
            Span<byte> packet = stackalloc byte[E131Numbers.LongestDataPacket];
            foreach (var (universe, levels) in _levels)
            {
                var length = E131Writer.Write(packet,
                    new E131DataPacket
                    {
                        Cid = _cid, SourceName = "bench"u8, Priority = 100, Universe = new UniverseNumber(universe), Sequence = (byte)_step, Levels = levels,
                    });
                try
                {
                    _socket.SendTo(packet[..length], _to);
                }
                catch (ObjectDisposedException)
                {
                    // The run ended.
                }
            }
        }
    }

    private sealed class Keep(Dictionary<ushort, byte[]> levels) : ILevelsSink
    {
        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> values) => levels[(ushort)universe.Value] = values.ToArray();
    }
}
