using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using SkiaSharp;
using StageView.App.Live;
using StageView.Rig;
using StageView.Wire;
using StageView.Wire.E131;

namespace StageView.Benchmarks;

/// <summary>
/// What serving costs beside drawing alone, and how late a page's picture is. The demo rig with its front light moving
/// at 40 Hz over a real socket, 640 × 360, one viewer that acknowledges at once.
/// </summary>
public static class LiveBenchmarks
{
    private static readonly TimeSpan Each = TimeSpan.FromSeconds(8);

    public static IEnumerable<Figure> Run()
    {
        var rig = Path.Combine(Root(), "scenes", "foundry", "foundry.rig.jsonc");
        var view = View.Start with { Width = 640, Height = 360 };
        var (sacn, artNet) = (FreePort(), FreePort());
        var temporary = Directory.CreateTempSubdirectory("stageview-bench").FullName;
        var journal = new NightJournal(TimeProvider.System);
        using var show = new LiveShow(new LiveShowOptions { RigFile = rig, Recordings = temporary, Looks = temporary, E131Port = sacn, ArtNetPort = artNet }, journal, TimeProvider.System);
        using var desk = new MovingDesk(rig, sacn);

        var alone = Alone(show, view);
        var (served, latency) = Served(show, journal, view).GetAwaiter().GetResult();
        Directory.Delete(temporary, recursive: true);

        yield return new Figure("live.fps.alone", alone.FramesPerSecond, "frames/s");
        yield return new Figure("live.fps.served", served.FramesPerSecond, "frames/s", "drawing alone", served.FramesPerSecond / alone.FramesPerSecond);
        yield return new Figure("live.cost", served.CpuPerFrame * 1000, "CPU ms a frame", "drawing alone", served.CpuPerFrame / alone.CpuPerFrame);
        if (latency is { } ms)
        {
            yield return new Figure("live.latency.page", ms, "ms", "drawing one frame", ms / (1000 / alone.FramesPerSecond));
        }
    }

    private static Speed Alone(LiveShow show, View view)
    {
        using var pictures = PicturesProcess.Start(show, window: false, (_, _) => { });
        var sheet = new Picture();
        pictures.Draw(view, 0, 0, sheet);
        return Measure(pictures.ProcessId, () => pictures.Draw(view, sheet.Fingerprint, 0, sheet) == DrawOutcome.Drawn);
    }

    private static async Task<(Speed Served, double? LatencyMs)> Served(LiveShow show, NightJournal journal, View view)
    {
        PicturesProcess? drawing = null;
        var options = new LiveServerOptions { Port = 0, PinnedRung = 1 };
        using var pump = new FramePump(() => drawing = PicturesProcess.Start(show, window: false, journal.Say), journal, TimeProvider.System, options.MostFramesPerSecond);
        show.Changed += pump.Wake;
        await using var server = new LiveServer(options, show, pump, journal, TimeProvider.System);
        await server.Start();
        pump.Start();
        using var socket = new ClientWebSocket();
        await socket.ConnectAsync(new UriBuilder(new Uri(server.Address, "/live")) { Scheme = "ws" }.Uri, CancellationToken.None);
        await Say(socket, new { @do = "view", from = new[] { view.Position.X, view.Position.Y, view.Position.Z }, to = new[] { view.Target.X, view.Target.Y, view.Target.Z }, fov = 50, ev = view.Ev100, size = new[] { view.Width, view.Height } });
        var buffer = new byte[8 << 20];
        for (var warm = 0; warm < 5; warm += await Next(socket, buffer) ? 1 : 0)
        {
        }

        var speed = Measure(drawing!.ProcessId, () => Next(socket, buffer).GetAwaiter().GetResult());
        show.Measure(true);
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from) < Each)
        {
            await Next(socket, buffer);
        }

        var latency = show.State().Marker?.ToPageMs;
        show.Measure(false);
        return (speed, latency);
    }

    /// <summary>Reads one message and answers as the page does, its pixels decoded and its marker read; true for a picture.</summary>
    private static async Task<bool> Next(ClientWebSocket socket, byte[] buffer)
    {
        var length = 0;
        ValueWebSocketReceiveResult got;
        do
        {
            got = await socket.ReceiveAsync(buffer.AsMemory(length), CancellationToken.None);
            length += got.Count;
        }
        while (!got.EndOfMessage);
        if (got.MessageType == WebSocketMessageType.Binary)
        {
            var head = FrameHeader.Read(buffer);
            if (head.Marker >= 0)
            {
                using var bitmap = SKBitmap.Decode(buffer.AsSpan(FrameHeader.Length, length - FrameHeader.Length), new SKImageInfo(head.Width, head.Height, SKColorType.Rgba8888));
                await Say(socket, new { @do = "shown", n = head.Number, marker = MarkerCells.Read(bitmap.GetPixelSpan(), head.Width) });
            }
            else
            {
                await Say(socket, new { @do = "shown", n = head.Number });
            }

            return true;
        }

        var text = Encoding.UTF8.GetString(buffer, 0, length);
        if (text.StartsWith("{\"t\":\"ping\"", StringComparison.Ordinal))
        {
            await Say(socket, new { @do = "pong", n = JsonDocument.Parse(text).RootElement.GetProperty("n").GetInt32() });
        }

        return false;
    }

    private static Task Say(ClientWebSocket socket, object message) =>
        socket.SendAsync(JsonSerializer.SerializeToUtf8Bytes(message), WebSocketMessageType.Text, true, CancellationToken.None);

    /// <summary>Frames a second and processor time a frame, of this process and the drawing one together.</summary>
    private static Speed Measure(int drawing, Func<bool> frame)
    {
        var cpu = Cpu(drawing);
        var from = TimeProvider.System.GetTimestamp();
        var frames = 0;
        while (TimeProvider.System.GetElapsedTime(from) < Each)
        {
            frames += frame() ? 1 : 0;
        }

        return new Speed(frames / TimeProvider.System.GetElapsedTime(from).TotalSeconds, (Cpu(drawing) - cpu) / Math.Max(1, frames));
    }

    private static double Cpu(int drawing)
    {
        using var own = Process.GetCurrentProcess();
        using var other = Process.GetProcessById(drawing);
        return own.TotalProcessorTime.TotalSeconds + other.TotalProcessorTime.TotalSeconds;
    }

    private static int FreePort()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }

    private static string Root()
    {
        var d = new DirectoryInfo(AppContext.BaseDirectory);
        while (d is not null && !File.Exists(Path.Combine(d.FullName, "StageView.sln")))
        {
            d = d.Parent;
        }

        return d?.FullName ?? throw new InvalidOperationException("StageView.sln lies nowhere above this program");
    }

    private readonly record struct Speed(double FramesPerSecond, double CpuPerFrame);

    /// <summary>Sends the front light's levels, a little different each time.</summary>
    private sealed class MovingDesk : IDisposable
    {
        private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        private readonly Timer _timer;
        private readonly Cid _cid = Cid.From(Guid.NewGuid());
        private readonly UniverseNumber _universe;
        private readonly IPEndPoint _to;
        private int _step;

        public MovingDesk(string rig, int port)
        {
            _to = new IPEndPoint(IPAddress.Loopback, port);
            _universe = RigLoader.TryLoad(rig, out var scene, out _)
                ? scene.Fixtures.First(f => f.Groups.Contains("fronts")).Patch[0].Start.Universe
                : throw new InvalidOperationException($"{rig} can't be read");
            _timer = new Timer(_ => Send(), null, 0, 25);
        }

        public void Dispose()
        {
            _timer.Dispose();
            _socket.Dispose();
        }

        private void Send()
        {
            Span<byte> levels = stackalloc byte[512];
            Span<byte> packet = stackalloc byte[E131Numbers.LongestDataPacket];
            levels.Fill((byte)(128 + (_step++ % 100)));
            var length = E131Writer.Write(packet, new E131DataPacket { Cid = _cid, SourceName = "bench"u8, Priority = 100, Universe = _universe, Sequence = (byte)_step, Levels = levels });
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
