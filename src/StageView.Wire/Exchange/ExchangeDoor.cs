using System.Net;
using System.Net.Sockets;

namespace StageView.Wire.Exchange;

/// <summary>Takes connections, only so many at once and only so many of one address, and has each of their messages answered.</summary>
/// <param name="listener">Bound, listening.</param>
/// <param name="answer">Answers one message of an address.</param>
/// <param name="note">Told why a connection was closed.</param>
/// <param name="clock">The clock.</param>
internal sealed class ExchangeDoor(Socket listener, Func<ExchangeMessage, IPAddress, ExchangeStream, Task> answer, Action<string> note, TimeProvider clock)
{
    private readonly Lock _gate = new();
    private readonly List<IPAddress> _inside = [];

    public async Task Serve(CancellationToken stop)
    {
        while (!stop.IsCancellationRequested)
        {
            Socket socket;
            try
            {
                socket = await listener.AcceptAsync(stop).ConfigureAwait(false);
            }
            catch (SocketException)
            {
                await Task.Delay(TimeSpan.FromMilliseconds(100), clock, stop).ConfigureAwait(false);
                continue;
            }

            var from = (socket.RemoteEndPoint as IPEndPoint)?.Address ?? IPAddress.None;
            lock (_gate)
            {
                if (_inside.Count >= ExchangeNumbers.MostConnections || _inside.Count(a => a.Equals(from)) >= ExchangeNumbers.MostConnectionsOfOne)
                {
                    socket.Dispose();
                    continue;
                }

                _inside.Add(from);
            }

            _ = Task.Run(() => ServeOne(socket, from, stop), CancellationToken.None);
        }
    }

    private async Task ServeOne(Socket socket, IPAddress from, CancellationToken stop)
    {
        try
        {
            await using var connection = new NetworkStream(socket, ownsSocket: true);
            var stream = new ExchangeStream(connection, clock);
            while (await stream.Read(stop).ConfigureAwait(false) is { } message)
            {
                await answer(message, from, stream).ConfigureAwait(false);
            }
        }
        catch (ExchangeException e)
        {
            note($"{from}: {e.Message}; the connection was closed");
        }
        catch (Exception e) when (e is IOException or SocketException or OperationCanceledException or ObjectDisposedException)
        {
            // The other side went away, or took too long: it will come again.
        }
        finally
        {
            lock (_gate)
            {
                _inside.Remove(from);
            }
        }
    }
}
