using System.Buffers.Binary;
using System.Net.Sockets;
using System.Runtime.InteropServices;

namespace StageView.Wire.Sockets;

/// <summary>
/// Socket options that the base library has no names for; numbers are Linux's (asm-generic/socket.h, linux/in.h, linux/in6.h, linux/filter.h).
/// </summary>
internal static class SocketOptions
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

    /// <summary>Lets other programs listen on the same port. On Linux without SO_REUSEPORT, which would share unicast out among them.</summary>
    public static void AllowReuse(Socket socket)
    {
        if (OperatingSystem.IsLinux())
        {
            SetInt(socket, SolSocket, SoReuseAddr, 1);
        }
        else
        {
            socket.SetSocketOption(SocketOptionLevel.Socket, SocketOptionName.ReuseAddress, true);
        }
    }

    /// <summary>Makes a wildcard socket deaf to unicast and to groups that other sockets joined. Linux only; elsewhere it hears both.</summary>
    public static unsafe void TakeOnlyJoinedGroups(Socket socket)
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

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

    /// <summary>Asks for a receive buffer, past the system's bound when the process may; returns the bytes granted.</summary>
    public static int SizeBuffer(Socket socket, int bytes)
    {
        try
        {
            socket.ReceiveBufferSize = bytes;
        }
        catch (SocketException)
        {
            // macOS refuses what Linux would bound; what is granted is read back below.
        }

        // Linux reports twice what was asked, for its own book-keeping.
        var share = OperatingSystem.IsLinux() ? 2 : 1;
        if (OperatingSystem.IsLinux() && socket.ReceiveBufferSize / share < bytes)
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

        return socket.ReceiveBufferSize / share;
    }

    /// <summary>The kernel's count of datagrams dropped at this socket; -1 where it doesn't tell.</summary>
    public static long Drops(Socket socket)
    {
        if (!OperatingSystem.IsLinux())
        {
            return -1;
        }

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
