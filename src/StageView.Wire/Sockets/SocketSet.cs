using System.Globalization;
using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Sockets;

/// <summary>
/// The sockets of a listener. For each local address one for unicast on each port, the broadcast addresses of its network for
/// Art-Net, and as many multicast sockets as the joins need: a socket joins at most 20 groups unless the system allows more. An interface
/// with several of the addresses joins once.
/// A multicast socket is bound to the wildcard address, as it must be, but takes only the groups it joined and nothing but multicast,
/// so that no address is listened on which the user didn't name.
/// </summary>
internal sealed class SocketSet : IDisposable
{
    private const int GroupsPerSocket = 20;
    private readonly ListenOptions _options;
    private readonly List<Socket> _sockets = [];
    private readonly List<MulticastSocket> _multicast = [];
    private readonly List<Socket> _artNet = [];
    private readonly List<IPAddress> _addresses = [];
    private readonly HashSet<IPAddress> _broadcasts = [];
    private IPAddress[] _joinBy = [];
    private readonly HashSet<int> _joined = [];
    private HashSet<int> _patched = [];
    private HashSet<int> _heard = [];

    public SocketSet(ListenOptions options)
    {
        _options = options;
        try
        {
            Open();
        }
        catch
        {
            Dispose();
            throw;
        }
    }

    public IReadOnlyList<Socket> Sockets => _sockets;

    /// <summary>Counts up when <see cref="Sockets"/> changed.</summary>
    public int Version { get; private set; }

    /// <summary>Bytes of receive buffer that the system granted, the least of all sockets; Linux doubles what is asked.</summary>
    public int GrantedBuffer { get; private set; } = int.MaxValue;

    /// <summary>What the user should know: a buffer that was refused, groups that were refused.</summary>
    public List<string> Notes { get; } = [];

    public IReadOnlyCollection<int> Joined => _joined;

    /// <summary>The unicast Art-Net socket that answers what came to a local address: the one it came to, or for a broadcast the first.</summary>
    public Socket? AnswerFrom(SourceAddress local)
    {
        Socket? first = null;
        foreach (var socket in _artNet)
        {
            if (SourceAddress.From((IPEndPoint)socket.LocalEndPoint!) == local)
            {
                return socket;
            }

            // A broadcast came by the network of one of our addresses: the one that shares most of its leading bits.
            first = first is null || Shared(socket, local) > Shared(first, local) ? socket : first;
        }

        return first;
    }

    private static int Shared(Socket socket, SourceAddress local) =>
        System.Numerics.BitOperations.LeadingZeroCount(SourceAddress.From((IPEndPoint)socket.LocalEndPoint!).IPv4Value ^ local.IPv4Value);

    /// <summary>Joins the groups of universes that are new and leaves those that are gone; discovery stays joined.</summary>
    public void Follow(IReadOnlyCollection<UniverseNumber> universes)
    {
        _patched = [.. universes.Select(u => (int)u.Value)];
        Follow();
    }

    /// <summary>
    /// The same for what is heard of: synchronisation addresses, whose packets come by groups of their own, and universes that senders offer.
    /// </summary>
    public void FollowHeard(HashSet<int> addresses)
    {
        if (_options.JoinGroups && !_heard.SetEquals(addresses))
        {
            _heard = addresses;
            Follow();
        }
    }

    private void Follow()
    {
        var wanted = _patched.Union(_heard).Append(E131Numbers.DiscoveryUniverse).ToHashSet();
        foreach (var gone in _joined.Except(wanted).ToArray())
        {
            foreach (var socket in _multicast)
            {
                socket.Leave(gone);
            }

            _joined.Remove(gone);
        }

        foreach (var universe in wanted.Except(_joined).Order().ToArray())
        {
            foreach (var address in _joinBy)
            {
                Join(universe, address);
            }

            _joined.Add(universe);
        }
    }

    /// <summary>Datagrams that the kernel dropped because a receive buffer was full, as the kernel counts them; -1 where the system doesn't tell.</summary>
    public long KernelDrops()
    {
        long drops = 0;
        foreach (var socket in _sockets)
        {
            var own = SocketOptions.Drops(socket);
            if (own < 0)
            {
                return -1;
            }

            drops += own;
        }

        return drops;
    }

    /// <summary>Addresses and ports on which another program listens, too. Its sockets for groups are no matter: every one gets those.</summary>
    public IReadOnlyList<string> SharedPorts() =>
        PortSharing.Of([.. _sockets.Where(s => !_multicast.Exists(m => m.Socket == s)).Select(s => (IPEndPoint)s.LocalEndPoint!)
            .Where(e => !_broadcasts.Contains(e.Address))]);

    public void Dispose()
    {
        foreach (var socket in _sockets)
        {
            socket.Dispose();
        }

        _sockets.Clear();
        _multicast.Clear();
    }

    private void Open()
    {
        foreach (var text in _options.Addresses.Distinct(StringComparer.OrdinalIgnoreCase))
        {
            if (!IPAddress.TryParse(text, out var address) || address.Equals(IPAddress.Any) || address.Equals(IPAddress.IPv6Any))
            {
                throw new ListenException(
                    $"'{text}' is no local address to listen on; name one of this machine's addresses, such as {string.Join(", ", LocalAddresses().Take(4))}");
            }

            _addresses.Add(address);
        }

        _joinBy = [.. new LocalInterfaces().OneOfEach(_addresses)];
        foreach (var address in _addresses)
        {
            Add(Bind(address, _options.E131Port, "E1.31"));
            var artNet = Bind(address, _options.ArtNetPort, "Art-Net");
            Add(artNet);
            if (address.AddressFamily == AddressFamily.InterNetwork)
            {
                _artNet.Add(artNet);
            }

            if (address.AddressFamily == AddressFamily.InterNetwork && OperatingSystem.IsLinux())
            {
                _broadcasts.UnionWith(Broadcasts(address));
            }
        }

        foreach (var broadcast in _broadcasts)
        {
            Add(Bind(broadcast, _options.ArtNetPort, "Art-Net broadcasts"));
        }

        if (_options.JoinGroups)
        {
            Follow(_options.Universes);
        }

        if (GrantedBuffer < _options.LeastReceiveBuffer)
        {
            Notes.Add(string.Create(
                CultureInfo.InvariantCulture,
                $"the system grants {GrantedBuffer / 1024} KiB of receive buffer instead of {_options.EffectiveReceiveBuffer / 1024} KiB: bursts of many "
                + $"universes may be lost; lift it with 'sysctl -w net.core.rmem_max={_options.EffectiveReceiveBuffer}'"));
        }
    }

    private void Join(int universe, IPAddress address)
    {
        foreach (var socket in _multicast)
        {
            if (socket.Address.Equals(address) && socket.TryJoin(universe))
            {
                return;
            }
        }

        var made = new MulticastSocket(Create(address.AddressFamily), address, _options.E131Port, GroupsPerSocket);
        _multicast.Add(made);
        Add(made.Socket);
        if (!made.TryJoin(universe) && Notes.Count < 16)
        {
            Notes.Add(
                $"universe {universe}: its multicast group could not be joined on {address}{(made.Refused is { } e ? ": " + e : "")}; unicast still arrives");
        }
    }

    private void Add(Socket socket)
    {
        _sockets.Add(socket);
        Version++;
        GrantedBuffer = Math.Min(GrantedBuffer, SocketOptions.SizeBuffer(socket, _options.EffectiveReceiveBuffer));
    }

    private static Socket Create(AddressFamily family)
    {
        var socket = new Socket(family, SocketType.Dgram, ProtocolType.Udp);
        SocketOptions.AllowReuse(socket);
        if (family == AddressFamily.InterNetworkV6)
        {
            socket.DualMode = false;
        }

        return socket;
    }

    private static Socket Bind(IPAddress address, int port, string what)
    {
        var socket = Create(address.AddressFamily);
        try
        {
            socket.Bind(new IPEndPoint(address, port));
            return socket;
        }
        catch (SocketException e)
        {
            socket.Dispose();
            throw new ListenException(
                e.SocketErrorCode switch
                {
                    SocketError.AddressNotAvailable => $"{address} is no address of this machine; it has {string.Join(", ", LocalAddresses().Take(6))}",
                    SocketError.AddressAlreadyInUse =>
                        $"another program holds port {port} ({what}) on {address} and doesn't share it; end it or listen on another address",
                    SocketError.AccessDenied => $"no rights to listen on port {port} ({what}) of {address}",
                    _ => $"can't listen on port {port} ({what}) of {address}: {e.Message}",
                },
                e);
        }
    }

    // The limited broadcast and that of the address's own network; binding to them takes broadcasts alone.
    private static IEnumerable<IPAddress> Broadcasts(IPAddress address)
    {
        if (IPAddress.IsLoopback(address))
        {
            return [IPAddress.Parse("127.255.255.255")];
        }

        var mask = NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(n => n.GetIPProperties().UnicastAddresses)
            .FirstOrDefault(u => u.Address.Equals(address))?.IPv4Mask;
        if (mask is null)
        {
            return [IPAddress.Broadcast];
        }

        var a = address.GetAddressBytes();
        var m = mask.GetAddressBytes();
        var directed = a.Select((octet, i) => (byte)(octet | ~m[i])).ToArray();
        return [IPAddress.Broadcast, new IPAddress(directed)];
    }

    private static IEnumerable<string> LocalAddresses() =>
        NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(n => n.GetIPProperties().UnicastAddresses)
            .Select(u => u.Address.ToString())
            .Order(StringComparer.Ordinal);
}
