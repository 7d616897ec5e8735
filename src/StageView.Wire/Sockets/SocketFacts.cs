using System.Net;
using System.Net.Sockets;

namespace StageView.Wire.Sockets;

/// <summary>What sockets of this machine and system give; each tried.</summary>
/// <param name="Receiver">How packets are taken.</param>
/// <param name="TellsDrops">Whether the system counts the datagrams that it drops for want of buffer.</param>
/// <param name="BufferBytes">Receive buffer granted of 8 MiB asked for.</param>
public sealed record SocketFacts(string Receiver, bool TellsDrops, int BufferBytes)
{
    private const int Asked = 8 << 20;

    public static SocketFacts OfThisMachine()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        using var receiver = ISocketSystem.Here.Receiver();
        return new SocketFacts(receiver is LinuxReceiver ? "many packets a call" : "a packet a call", ISocketSystem.Here.Drops(socket) >= 0,
            ISocketSystem.Here.SizeBuffer(socket, Asked));
    }

    /// <summary>Why a UDP port of loopback can't be had by one program alone; null when it is free.</summary>
    public static string? WhyUdpNotFree(int port) => WhyNotFree(SocketType.Dgram, ProtocolType.Udp, port);

    /// <summary>Why a TCP port of loopback can't be had; null when it is free.</summary>
    public static string? WhyTcpNotFree(int port) => WhyNotFree(SocketType.Stream, ProtocolType.Tcp, port);

    /// <summary>IPv4 addresses of this machine that a console may send to, loopback last.</summary>
    public static IReadOnlyList<string> Addresses() =>
        [.. System.Net.NetworkInformation.NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(n => n.GetIPProperties().UnicastAddresses.Select(u => (u.Address, n.Name)))
            .Where(a => a.Address.AddressFamily == AddressFamily.InterNetwork).OrderBy(a => IPAddress.IsLoopback(a.Address))
            .Select(a => $"{a.Address} ({a.Name})")];

    private static string? WhyNotFree(SocketType type, ProtocolType protocol, int port)
    {
        try
        {
            using var socket = new Socket(AddressFamily.InterNetwork, type, protocol);
            socket.Bind(new IPEndPoint(IPAddress.Loopback, port));
            return null;
        }
        catch (SocketException e)
        {
            return e.SocketErrorCode == SocketError.AddressAlreadyInUse ? "another program has it" : e.Message;
        }
    }
}
