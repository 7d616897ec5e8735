using System.Net;
using System.Net.Sockets;
using StageView.Ground.Systems;

namespace StageView.Wire.Sockets;

/// <summary>What sockets of a system can do beyond the base library.</summary>
internal interface ISocketSystem
{
    /// <summary>That of this system.</summary>
    static readonly ISocketSystem Here = ThisSystem.Choose<ISocketSystem>(() => new LinuxSockets(), () => new WindowsSockets(), () => new PlainSockets());

    /// <summary>Whether broadcasts reach a socket that is bound to their address, as they do one that is bound to the wildcard.</summary>
    bool BindsBroadcasts { get; }

    /// <summary>What words of this system lift the bound on receive buffers, for the end of a sentence; empty where there is no such setting.</summary>
    string LiftsBuffers(int bytes);

    IReceiver Receiver();

    /// <summary>Lets other programs listen on the same port.</summary>
    void AllowReuse(Socket socket);

    /// <summary>Makes a wildcard socket deaf to unicast and to groups that other sockets joined, where that can be had; elsewhere it hears both.</summary>
    void TakeOnlyJoinedGroups(Socket socket);

    /// <summary>Asks for a receive buffer, past the system's bound when the process may; returns the bytes granted.</summary>
    int SizeBuffer(Socket socket, int bytes);

    /// <summary>The system's count of datagrams dropped at this socket; -1 where it doesn't tell.</summary>
    long Drops(Socket socket);

    /// <summary>Ends that appear more often on this machine than among ours, in order: other programs' sockets double them. Empty where nobody tells.</summary>
    IReadOnlyList<string> Shared(IReadOnlyCollection<IPEndPoint> own);
}
