using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using System.Runtime.InteropServices;

namespace StageView.Wire.Sockets;

/// <summary>
/// Sockets of Linux; options that the base library has no names for (asm-generic/socket.h, linux/in.h, linux/in6.h, linux/filter.h).
/// </summary>
internal sealed class LinuxSockets : ISocketSystem
{
    private const int SolSocket = 1;
    private const int SoReuseAddr = 2;
    private const int SoAttachFilter = 26;
    private const int SoRcvBufForce = 33;
    private const int SoMemInfo = 55;
    private const int IpProto = 0;
    private const int IpMulticastAll = 49;
    private const int Ipv6Proto = 41;
    private const int Ipv6MulticastAll = 29;

    // Index of SK_MEMINFO_DROPS in the array of u32.
    private const int MemInfoDrops = 8;

    public bool BindsBroadcasts => true;

    public string LiftsBuffers(int bytes) => $"; lift it with 'sysctl -w net.core.rmem_max={bytes}'";

    public IReceiver Receiver() => new LinuxReceiver();

    /// <summary>Without SO_REUSEPORT, which would share unicast out among them.</summary>
    public void AllowReuse(Socket socket) => SetInt(socket, SolSocket, SoReuseAddr, 1);

    public unsafe void TakeOnlyJoinedGroups(Socket socket)
    {
        var v4 = socket.AddressFamily == AddressFamily.InterNetwork;
        try
        {
            SetInt(socket, v4 ? IpProto : Ipv6Proto, v4 ? IpMulticastAll : Ipv6MulticastAll, 0);
        }
        catch (SocketException) when (!v4)
        {
            // Kernels before 4.20 have no IPV6_MULTICAST_ALL: groups of other programs are then heard too, which the universe number sorts out.
        }

        // Classic BPF on the IP header (SKF_NET_OFF): keep when the destination is 224.0.0.0/4, or ff00::/8.
        const uint NetOffset = 0xFFF0_0000;
        var program = stackalloc SockFilter[5];
        program[0] = new SockFilter(0x30, 0, 0, NetOffset + (v4 ? 16u : 24u));
        program[1] = new SockFilter(0x54, 0, 0, v4 ? 0xF0u : 0xFFu);
        program[2] = new SockFilter(0x15, 0, 1, v4 ? 0xE0u : 0xFFu);
        program[3] = new SockFilter(0x06, 0, 0, uint.MaxValue);
        program[4] = new SockFilter(0x06, 0, 0, 0);
        var filter = new SockFProg { Length = 5, Filter = program };
        socket.SetRawSocketOption(SolSocket, SoAttachFilter, new ReadOnlySpan<byte>(&filter, sizeof(SockFProg)));
    }

    public int SizeBuffer(Socket socket, int bytes)
    {
        socket.ReceiveBufferSize = bytes;
        if (Granted(socket) < bytes)
        {
            try
            {
                SetInt(socket, SolSocket, SoRcvBufForce, bytes);
            }
            catch (SocketException)
            {
                // Needs CAP_NET_ADMIN; without it the caller tells which sysctl lifts the bound.
            }
        }

        return Granted(socket);
    }

    public long Drops(Socket socket)
    {
        Span<byte> info = stackalloc byte[9 * sizeof(uint)];
        try
        {
            var length = socket.GetRawSocketOption(SolSocket, SoMemInfo, info);
            return length >= info.Length ? MemoryMarshal.Read<uint>(info[(MemInfoDrops * sizeof(uint))..]) : -1;
        }
        catch (SocketException)
        {
            return -1;
        }
    }

    public IReadOnlyList<string> Shared(IReadOnlyCollection<IPEndPoint> own) => PortSharing.Of(own);

    /// <summary>Twice what was asked is reported, for the kernel's own book-keeping.</summary>
    private static int Granted(Socket socket) => socket.ReceiveBufferSize / 2;

    private static void SetInt(Socket socket, int level, int option, int value)
    {
        Span<byte> bytes = stackalloc byte[sizeof(int)];
        if (BitConverter.IsLittleEndian)
        {
            BinaryPrimitives.WriteInt32LittleEndian(bytes, value);
        }
        else
        {
            BinaryPrimitives.WriteInt32BigEndian(bytes, value);
        }

        socket.SetRawSocketOption(level, option, bytes);
    }

    [StructLayout(LayoutKind.Sequential)]
    private readonly struct SockFilter(ushort code, byte ifTrue, byte ifFalse, uint operand)
    {
        public readonly ushort Code = code;
        public readonly byte IfTrue = ifTrue;
        public readonly byte IfFalse = ifFalse;
        public readonly uint Operand = operand;
    }

    [StructLayout(LayoutKind.Sequential)]
    private unsafe struct SockFProg
    {
        public ushort Length;
        public SockFilter* Filter;
    }
}
