using System.Net;
using System.Net.Sockets;

namespace StageView.Live.Tests.Server;

/// <summary>A link to a server on this machine that lets so many bytes a second come from it; what waits, waits at the server.</summary>
internal sealed class ThinLink : IAsyncDisposable
{
    private const int Step = 400;
    private readonly TcpListener _listener = new(IPAddress.Loopback, 0);
    private readonly CancellationTokenSource _stop = new();
    private readonly int _port;
    private readonly TimeSpan _each;
    private readonly Task _serving;
    private long _came;

    /// <param name="to">The server.</param>
    /// <param name="bitsPerSecond">From the server; to it everything goes at once.</param>
    public ThinLink(Uri to, int bitsPerSecond)
    {
        (_port, _each) = (to.Port, TimeSpan.FromSeconds(Step * 8.0 / bitsPerSecond));
        _listener.Start();
        _serving = Serve();
    }

    /// <summary>Bytes that came through from the server, of all connections.</summary>
    public long Came => Interlocked.Read(ref _came);

    public Uri Address => new($"http://127.0.0.1:{((IPEndPoint)_listener.LocalEndpoint).Port}/");

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        _listener.Stop();
        await _serving;
        _stop.Dispose();
    }

    private async Task Serve()
    {
        try
        {
            while (true)
            {
                _ = Carry(await _listener.AcceptTcpClientAsync(_stop.Token));
            }
        }
        catch (Exception e) when (e is OperationCanceledException or SocketException or ObjectDisposedException)
        {
            // The end of the test.
        }
    }

    private async Task Carry(TcpClient near)
    {
        using var one = near;
        using var far = new TcpClient { ReceiveBufferSize = Step };
        try
        {
            await far.ConnectAsync(IPAddress.Loopback, _port, _stop.Token);
            await Task.WhenAny(near.GetStream().CopyToAsync(far.GetStream(), _stop.Token), Slowly(far.GetStream(), near.GetStream()));
        }
        catch (Exception e) when (e is OperationCanceledException or IOException or SocketException)
        {
            // One side is gone.
        }
    }

    private async Task Slowly(NetworkStream from, NetworkStream to)
    {
        var buffer = new byte[Step];
        while (await from.ReadAsync(buffer, _stop.Token) is > 0 and var n)
        {
            await to.WriteAsync(buffer.AsMemory(0, n), _stop.Token);
            Interlocked.Add(ref _came, n);
            await Task.Delay(_each * n / Step, _stop.Token);
        }
    }
}
