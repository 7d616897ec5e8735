using System.Net;
using System.Net.Sockets;

namespace StageView.Wire.Sockets;

/// <summary>What every system can by the base library; macOS.</summary>
internal class PlainSockets : ISocketSystem
{
    public bool BindsBroadcasts => false;

    public virtual string LiftsBuffers(int bytes) => $"; lift it with 'sudo sysctl -w kern.ipc.maxsockbuf={bytes}'";

    public IReceiver Receiver() => new PortableReceiver();

    public virtual void AllowReuse(Socket socket) => socket.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.ReuseAddress, true);

    public void TakeOnlyJoinedGroups(Socket socket)
    {
    }

    public int SizeBuffer(Socket socket, int bytes)
    {
        try
        {
            socket.ReceiveBufferSize = bytes;
        }
        catch (SocketException)
        {
            // macOS refuses what Linux would bound; what is granted is read back below.
        }

        return socket.ReceiveBufferSize;
    }

    public long Drops(Socket socket) => -1;

    public IReadOnlyList<string> Shared(IReadOnlyCollection<IPEndPoint> own) => [];
}
