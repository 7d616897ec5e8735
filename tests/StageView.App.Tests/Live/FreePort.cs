using System.Net;
using System.Net.Sockets;

namespace StageView.App.Tests.Live;

internal static class FreePort
{
    /// <summary>A UDP port that nobody held a moment ago.</summary>
    public static int Udp()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }
}
