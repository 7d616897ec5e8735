using System.Buffers;
using System.Net;
using System.Net.WebSockets;
using System.Text;
using System.Text.Json;
using StageView.DemoShow;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Terms;
using StageView.Snapshot.Sets;

namespace StageView.App.Tests.Live;

/// <summary>A synthetic show behind the real server on a free loopback port.</summary>
internal sealed class ServedShow : IAsyncDisposable
{
    private ServedShow(LiveServerOptions options, Func<SyntheticShow, ILivePictures>? pictures)
    {
        Journal = new NightJournal(TimeProvider.System);
        Pump = new FramePump(() => pictures?.Invoke(Show) ?? new SyntheticPictures(Show), Journal, TimeProvider.System, options.MostFramesPerSecond);
        Server = new LiveServer(options, Show, Pump, Journal, TimeProvider.System);
    }

    public SyntheticShow Show { get; } = new();

    public NightJournal Journal { get; }

    public FramePump Pump { get; }

    public LiveServer Server { get; }

    public static async Task<ServedShow> Start(LiveServerOptions? options = null, Func<SyntheticShow, ILivePictures>? pictures = null)
    {
        var served = new ServedShow((options ?? new LiveServerOptions()) with { Port = 0 }, pictures);
        served.Pump.Start();
        await served.Server.Start();
        return served;
    }

    public async Task<ClientWebSocket> Connect(Action<ClientWebSocketOptions>? set = null)
    {
        var socket = new ClientWebSocket();
        set?.Invoke(socket.Options);
        await socket.ConnectAsync(new UriBuilder(new Uri(Server.Address, "/live")) { Scheme = "ws" }.Uri, TestContext.Current.CancellationToken);
        return socket;
    }

    public async ValueTask DisposeAsync()
    {
        await Server.DisposeAsync();
        Pump.Dispose();
    }

    public static Task Say(ClientWebSocket socket, object message) =>
        socket.SendAsync(JsonSerializer.SerializeToUtf8Bytes(message), WebSocketMessageType.Text, true, TestContext.Current.CancellationToken);

    public static async Task<(WebSocketMessageType Type, byte[] Bytes)> Hear(ClientWebSocket socket)
    {
        var all = new ArrayBufferWriter<byte>();
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        patience.CancelAfter(TimeSpan.FromMinutes(1));
        while (true)
        {
            var got = await socket.ReceiveAsync(all.GetMemory(65536), patience.Token);
            all.Advance(got.Count);
            if (got.EndOfMessage)
            {
                return (got.MessageType, all.WrittenSpan.ToArray());
            }
        }
    }

    /// <summary>Reads on, acknowledging pictures and pings as a page does, until something fits.</summary>
    public static async Task<byte[]> HearUntil(ClientWebSocket socket, Func<WebSocketMessageType, byte[], bool> fits, bool acknowledge = true)
    {
        // Only what never comes is waited for so long: a fault must fail, not hang.
        for (var from = TimeProvider.System.GetTimestamp(); TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(5);)
        {
            var (type, bytes) = await Hear(socket);
            if (type == WebSocketMessageType.Close)
            {
                throw new InvalidOperationException($"closed: {socket.CloseStatus} {socket.CloseStatusDescription}");
            }

            if (acknowledge && type == WebSocketMessageType.Binary)
            {
                await Say(socket, new { @do = "shown", n = FrameHeader.Read(bytes).Number });
            }

            if (fits(type, bytes))
            {
                return bytes;
            }
        }

        throw new TimeoutException("what was waited for did not come within five minutes");
    }

    public static async Task<JsonElement> Ask(ClientWebSocket socket, int id, object message)
    {
        await Say(socket, message);
        var answer = await HearUntil(socket, (t, b) => t == WebSocketMessageType.Text && Encoding.UTF8.GetString(b) is var s
            && s.Contains("\"answer\"", StringComparison.Ordinal) && JsonDocument.Parse(s).RootElement.GetProperty("id").GetInt32() == id);
        return JsonDocument.Parse(answer).RootElement;
    }

    public HttpClient Http() => new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = Server.Address, Timeout = TimeSpan.FromSeconds(20) };

    public static IPAddress? OtherAddress() =>
        System.Net.NetworkInformation.NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(i => i.GetIPProperties().UnicastAddresses)
            .Select(a => a.Address)
            .FirstOrDefault(a => a.AddressFamily == System.Net.Sockets.AddressFamily.InterNetwork && !IPAddress.IsLoopback(a));
}
