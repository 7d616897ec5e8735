using System.Net.Sockets;

namespace StageView.Wire.Sockets;

/// <summary>
/// Sockets of Windows: an answer "port unreachable" to something sent stays pending as an error of the socket that sent it, unless that is switched off
/// (mswsock.h: SIO_UDP_CONNRESET).
/// </summary>
internal sealed class WindowsSockets : PlainSockets
{
    private const int ConnectionReset = unchecked((int)0x9800000C);

    public override string LiftsBuffers(int bytes) => "";

    public override void AllowReuse(Socket socket)
    {
        base.AllowReuse(socket);
        try
        {
            socket.IOControl(ConnectionReset, [0, 0, 0, 0], null);
        }
        catch (SocketException)
        {
            // Then such errors are taken one by one, as the receiver does.
        }
    }
}
