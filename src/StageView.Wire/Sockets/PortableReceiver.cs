using System.Net;
using System.Net.Sockets;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Sockets;

/// <summary>Receives by the base library's sockets, for systems without recvmmsg(2). Costs about twice as much a packet and some garbage a wake-up.</summary>
internal sealed class PortableReceiver : IReceiver
{
    private readonly byte[] _buffer = new byte[1536];
    private readonly List<Socket> _ready = [];
    private readonly SocketAddress _from4 = new(AddressFamily.InterNetwork);
    private readonly SocketAddress _from6 = new(AddressFamily.InterNetworkV6);
    private IReadOnlyList<Socket> _sockets = [];

    public void Watch(IReadOnlyList<Socket> sockets) => _sockets = [.. sockets];

    public void ReceiveOnce(IDatagramTaker taker, int timeoutMilliseconds)
    {
        _ready.Clear();
        _ready.AddRange(_sockets);
        Socket.Select(_ready, null, null, timeoutMilliseconds * 1000);
        if (_ready.Count == 0)
        {
            taker.Idle();
            return;
        }

        taker.BeginBatch();
        try
        {
            for (var i = 0; i < _sockets.Count; i++)
            {
                if (_ready.Contains(_sockets[i]))
                {
                    Drain(_sockets[i], i, taker);
                }
            }
        }
        finally
        {
            taker.EndBatch();
        }
    }

    public void Dispose()
    {
    }

    private void Drain(Socket socket, int index, IDatagramTaker taker)
    {
        for (var i = 0; i < 4096 && socket.Available > 0; i++)
        {
            var from = socket.AddressFamily == AddressFamily.InterNetwork ? _from4 : _from6;
            int length;
            try
            {
                length = socket.ReceiveFrom(_buffer, SocketFlags.None, from);
            }
            catch (SocketException)
            {
                // An oversized datagram or an ICMP answer to one of ours: nothing to take.
                continue;
            }

            taker.Take(Address(from.Buffer.Span), index, _buffer.AsSpan(0, length));
        }
    }

    private static SourceAddress Address(ReadOnlySpan<byte> name)
    {
        var port = (ushort)((name[2] << 8) | name[3]);
        return name.Length >= 28 ? SourceAddress.IPv6(name[8..], port) : SourceAddress.IPv4(name[4..], port);
    }
}
