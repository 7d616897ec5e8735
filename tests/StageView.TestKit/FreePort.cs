using System.Net;
using System.Net.Sockets;

namespace StageView.TestKit;

/// <summary>Ports of the tests' own, so that a console or another test run on this machine doesn't mix in.</summary>
public static class FreePort
{
    // Below the ports that the system gives to senders which name none (from 32768 on Linux).
    private static int s_next = 20_000 + (Environment.ProcessId % 6_000 * 2);

    /// <summary>A UDP port that nobody held a moment ago.</summary>
    public static int Udp()
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return ((IPEndPoint)socket.LocalEndPoint!).Port;
    }

    /// <summary>The first of two neighbouring ports, others with each call.</summary>
    public static int Pair() => Interlocked.Add(ref s_next, 2);
}
