using System.Net;
using System.Net.WebSockets;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Terms;

namespace StageView.Live.Tests;

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

    public HttpClient Http() => new(new SocketsHttpHandler { AllowAutoRedirect = false, UseCookies = false })
    {
        BaseAddress = Server.Address, Timeout = TimeSpan.FromSeconds(20),
    };

    public static IPAddress? OtherAddress() =>
        System.Net.NetworkInformation.NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(i => i.GetIPProperties().UnicastAddresses)
            .Select(a => a.Address)
            .FirstOrDefault(a => a.AddressFamily == System.Net.Sockets.AddressFamily.InterNetwork && !IPAddress.IsLoopback(a));
}
