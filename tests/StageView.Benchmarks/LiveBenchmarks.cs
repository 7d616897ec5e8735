using System.Diagnostics;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using SkiaSharp;
using StageView.Live.Night;
using StageView.Live.Pictures;
using StageView.Live.Server;
using StageView.Live.Shown;
using StageView.Live.Terms;

namespace StageView.Benchmarks;

/// <summary>
/// What serving costs beside drawing alone, and how late a window's and a page's picture is, on this machine's renderer: a GPU
/// over EGL where there is one, no display needed. The demo rig over a real loopback socket at 40 Hz, its front light moving
/// (<c>fronts</c>) or the whole mirror moment of its show on top (<c>show</c>); page 640 × 360 with one viewer, drawn as moving pictures are, that acknowledges
/// at
/// once, window 1280 × 720. Alone and served are measured in turn, three times each, and medians told.
/// </summary>
public static class LiveBenchmarks
{
    private const int Turns = 3;
    private const string Blind = "--blind";
    private static long _got;
    private static byte[] _picture = [];
    private static readonly TimeSpan Each = TimeSpan.FromSeconds(4);
    private static readonly TimeSpan Delays = TimeSpan.FromSeconds(8);

    public static IEnumerable<Figure> Run()
    {
        foreach (var load in new[] { "fronts", "show" })
        {
            foreach (var figure in Measured(load))
            {
                yield return figure;
            }
        }
    }

    /// <summary>The drawing half, started by the other one.</summary>
    internal static int Draw(string[] how)
    {
        using var input = Console.OpenStandardInput();
        using var output = Console.OpenStandardOutput();
        using var worker = new PicturesWorker(input, output, false)
        {
            Instead = how.Contains(Blind) ? (renderer, shown) => new BlindWindow(renderer, shown) : null,
        };
        return worker.Run() ? 0 : 3;
    }

    /// <summary>Another page than the one before, which has got nothing yet.</summary>
    internal static void NewPage() => _got = 0;

    /// <summary>How to start this program again, to draw: published with its runtime it stands alone.</summary>
    internal static ProcessStartInfo Drawing(params string[] how)
    {
        var start = new ProcessStartInfo(Environment.ProcessPath!);
        if (Path.GetFileNameWithoutExtension(start.FileName).Equals("dotnet", StringComparison.OrdinalIgnoreCase))
        {
            start.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "StageView.Benchmarks.dll"));
        }

        start.ArgumentList.Add("live-pictures");
        foreach (var word in how)
        {
            start.ArgumentList.Add(word);
        }

        return start;
    }

    private static IEnumerable<Figure> Measured(string load)
    {
        using var demo = new LiveDemo(load == "show");
        var (show, journal) = (demo.Show, demo.Journal);
        var view = Viewpoint.Start with { Width = 640, Height = 360, Quick = true };
        var (alone, served, page, window, renderer) = Serve(show, journal, view).GetAwaiter().GetResult();
        Console.WriteLine($"live, {load}: {renderer}");
        var end = load == "fronts" ? "" : "." + load;
        yield return new Figure("live.fps.alone" + end, alone.FramesPerSecond, "frames/s");
        yield return new Figure("live.fps.served" + end, served.FramesPerSecond, "frames/s", "drawing alone", served.FramesPerSecond / alone.FramesPerSecond);
        yield return new Figure("live.cost" + end, served.CpuPerFrame * 1000, "CPU ms a frame", "drawing alone", served.CpuPerFrame / alone.CpuPerFrame);
        if (page is { } ms)
        {
            yield return new Figure("live.latency.page" + end, ms, "ms", "drawing one frame", ms * alone.FramesPerSecond / 1000);
        }

        if (window is { } w)
        {
            yield return new Figure("live.latency.window" + end, w.Ms, "ms", "drawing one 1280x720 frame", w.Ms / w.Frame);
        }
    }

    private static async Task<(Speed Alone, Speed Served, double? PageMs, (double Ms, double Frame)? Window, string Renderer)> Serve(LiveShow show,
        NightJournal journal, Viewpoint view)
    {
        using var pictures = PicturesProcess.Start(show, window: false, (_, _) => { }, drawing: Drawing());
        var sheet = new Picture();
        pictures.Draw(view, 0, 0, sheet);

        PicturesProcess? drawing = null;
        var options = new LiveServerOptions { Port = 0, PinnedRung = 1 };
        using var pump = new FramePump(() => drawing = PicturesProcess.Start(show, window: false, journal.Say, drawing: Drawing()), journal,
            TimeProvider.System, options.MostFramesPerSecond);
        show.Changed += pump.Wake;
        await using var server = new LiveServer(options, show, pump, journal, TimeProvider.System);
        await server.Start();
        pump.Start();
        using var socket = new ClientWebSocket();
        NewPage();
        await socket.ConnectAsync(new UriBuilder(new Uri(server.Address, "/live")) { Scheme = "ws" }.Uri, CancellationToken.None);
        await Say(socket, new
        {
            @do = "view", from = new[] { view.Position.X, view.Position.Y, view.Position.Z },
            to = new[] { view.Target.X, view.Target.Y, view.Target.Z }, fov = 50, ev = view.Ev100, size = new[] { view.Width, view.Height }
        });
        var buffer = new byte[8 << 20];
        for (var warm = 0; warm < 5; warm += await Next(socket, buffer) ? 1 : 0)
        {
        }

        var (alone, served) = (new List<Speed>(), new List<Speed>());
        for (var turn = 0; turn < Turns; turn++)
        {
            // A page that is hidden asks for nothing, and what was under way is taken first.
            await Say(socket, new { @do = "rest", on = true });
            await Drain(socket, buffer);
            alone.Add(Measure(pictures.ProcessId, () => pictures.Draw(view, sheet.Fingerprint, 0, sheet) == DrawOutcome.Drawn));
            await Say(socket, new { @do = "rest", on = false });
            await Drain(socket, buffer);
            served.Add(Measure(drawing!.ProcessId, () => Next(socket, buffer).GetAwaiter().GetResult()));
        }

        show.Measure(true);
        var from = TimeProvider.System.GetTimestamp();
        while (Goes(from, show))
        {
            await Next(socket, buffer);
        }

        var page = show.State().Marker?.ToPageMs;
        show.Measure(false);

        // The window by itself, as it would be beside no page.
        await Say(socket, new { @do = "rest", on = true });
        await Drain(socket, buffer);
        return (Middle(alone), Middle(served), page, await Window(show), pictures.Renderer);
    }

    /// <summary>Packet to the frame that stands ready, with a window's own frames, and what one such frame takes to draw.</summary>
    private static async Task<(double Ms, double Frame)?> Window(LiveShow show)
    {
        using var window = PicturesProcess.Start(show, window: false, (_, _) => { }, drawing: Drawing(Blind));
        show.Measure(true);
        var from = TimeProvider.System.GetTimestamp();
        while (Goes(from, show))
        {
            await Task.Delay(100);
        }

        var ms = show.State().Marker?.ToWindowMs;
        show.Measure(false);
        return ms is { } m && show.WindowFrameMilliseconds is var frame and > 0 ? (m, frame) : null;
    }

    /// <summary>Longer where frames are few: five are wanted, within a minute.</summary>
    private static bool Goes(long from, LiveShow show) => TimeProvider.System.GetElapsedTime(from) is var gone
        && (gone < Delays || (gone < TimeSpan.FromMinutes(1) && show.State().Marker is not { Seen: >= 5 }));

    /// <summary>Reads on for a second, so that nothing is left of what was asked before.</summary>
    private static async Task Drain(ClientWebSocket socket, byte[] buffer)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromSeconds(1))
        {
            await Next(socket, buffer);
        }
    }

    /// <summary>Reads one message and answers as the page does, its pixels decoded and its marker read; true for a picture.</summary>
    /// <param name="socket">To the server.</param>
    /// <param name="buffer">Room for the longest message.</param>
    /// <param name="heard">Is told each text.</param>
    internal static async Task<bool> Next(ClientWebSocket socket, byte[] buffer, Action<string>? heard = null)
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
            await Say(socket, new { @do = "got", bytes = _got += length });
            if (buffer[0] == 2)
            {
                // A slice: its place and the picture's length stand before it.
                var (at, all) = (BitConverter.ToInt32(buffer, 8), BitConverter.ToInt32(buffer, 12));
                _picture = at == 0 ? new byte[all] : _picture;
                buffer.AsSpan(SlicedPicture.HeadLength, length - SlicedPicture.HeadLength).CopyTo(_picture.AsSpan(at));
                if (at + length - SlicedPicture.HeadLength < all)
                {
                    return false;
                }

                _picture.CopyTo(buffer, 0);
                length = all;
            }

            var head = FrameHeader.Read(buffer);
            if (head.Marker >= 0)
            {
                using var bitmap = SKBitmap.Decode(buffer.AsSpan(FrameHeader.Length, length - FrameHeader.Length),
                    new SKImageInfo(head.Width, head.Height, SKColorType.Rgba8888));
                await Say(socket, new { @do = "shown", n = head.Number, marker = MarkerCells.Read(bitmap.GetPixelSpan(), head.Width) });
            }
            else
            {
                await Say(socket, new { @do = "shown", n = head.Number });
            }

            return true;
        }

        var text = Encoding.UTF8.GetString(buffer, 0, length);
        heard?.Invoke(text);
        if (text.StartsWith("{\"t\":\"ping\"", StringComparison.Ordinal))
        {
            await Say(socket, new { @do = "pong", n = JsonDocument.Parse(text).RootElement.GetProperty("n").GetInt32() });
        }

        return false;
    }

    internal static Task Say(ClientWebSocket socket, object message) =>
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

    private static Speed Middle(List<Speed> all) => new(
        all.Select(s => s.FramesPerSecond).Order().ElementAt(all.Count / 2), all.Select(s => s.CpuPerFrame).Order().ElementAt(all.Count / 2));

    private static double Cpu(int drawing)
    {
        using var own = Process.GetCurrentProcess();
        using var other = Process.GetProcessById(drawing);
        return own.TotalProcessorTime.TotalSeconds + other.TotalProcessorTime.TotalSeconds;
    }

    private readonly record struct Speed(double FramesPerSecond, double CpuPerFrame);
}
