using System.Net.Sockets;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Sockets;

/// <summary>Waits on sockets and hands over what arrives, on the caller's thread.</summary>
internal interface IReceiver : IDisposable
{
    void Watch(IReadOnlyList<Socket> sockets);

    void ReceiveOnce(IDatagramTaker taker, int timeoutMilliseconds);
}
