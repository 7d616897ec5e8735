using System.Net;
using System.Net.Sockets;
using StageView.Wire.E131;

namespace StageView.Wire.Sockets;

/// <summary>One socket for the multicast groups of some universes on one interface.</summary>
internal sealed class MulticastSocket
{
    private readonly HashSet<int> _groups = [];
    private readonly int _most;

    /// <param name="socket">Made, not bound.</param>
    /// <param name="address">The local address whose interface joins.</param>
    /// <param name="port">UDP port.</param>
    /// <param name="most">Groups at most.</param>
    public MulticastSocket(Socket socket, IPAddress address, int port, int most)
    {
        Socket = socket;
        Address = address;
        _most = most;
        ISocketSystem.Here.TakeOnlyJoinedGroups(socket);
        try
        {
            socket.Bind(new IPEndPoint(address.AddressFamily == AddressFamily.InterNetwork ? IPAddress.Any : IPAddress.IPv6Any, port));
        }
        catch (SocketException e)
        {
            socket.Dispose();
            throw new ListenException($"another program holds port {port} (E1.31 multicast) and doesn't share it: {e.Message}; end it, then try again", e);
        }
    }

    public Socket Socket { get; }

    public IPAddress Address { get; }

    /// <summary>Why the last join was refused.</summary>
    public string? Refused { get; private set; }

    public bool TryJoin(int universe)
    {
        if (_groups.Count >= _most)
        {
            return false;
        }

        try
        {
            Change(universe, join: true);
        }
        catch (SocketException e)
        {
            Refused = e.Message;
            return false;
        }

        _groups.Add(universe);
        return true;
    }

    public void Leave(int universe)
    {
        if (!_groups.Remove(universe))
        {
            return;
        }

        try
        {
            Change(universe, join: false);
        }
        catch (SocketException)
        {
            // An interface that is gone has left its groups already.
        }
    }

    private void Change(int universe, bool join)
    {
        var option = join ? SocketOptionName.AddMembership : SocketOptionName.DropMembership;
        if (Address.AddressFamily == AddressFamily.InterNetwork)
        {
            Socket.SetSocketOption(SocketOptionLevel.IP, option, new MulticastOption(E131Numbers.Group(universe), Address));
        }
        else
        {
            Socket.SetSocketOption(SocketOptionLevel.IPv6, option, new IPv6MulticastOption(E131Numbers.Group6(universe), Address.ScopeId));
        }
    }
}
