using System.Net.Sockets;
using System.Runtime.InteropServices;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Sockets;

/// <summary>
/// Receives in batches by poll(2) and recvmmsg(2). Between drains it lets a millisecond pass, so that a burst is taken in few
/// calls instead of one wake-up a packet; a frame of levels lasts 22 ms or more.
/// </summary>
internal sealed unsafe class LinuxReceiver : IReceiver
{
    private const int Batch = 128;
    private const int BufferLength = 1536;
    private const int NameLength = 28;
    private const int MsgDontWait = 0x40;
    private const short PollIn = 1;
    private const ushort AfInet = 2;
    private const ushort AfInet6 = 10;

    private readonly MMsgHdr* _messages;
    private readonly IoVec* _vectors;
    private readonly byte* _names;
    private readonly byte* _buffers;
    private PollFd[] _polls = [];

    public LinuxReceiver()
    {
        _messages = (MMsgHdr*)NativeMemory.AllocZeroed(Batch, (nuint)sizeof(MMsgHdr));
        _vectors = (IoVec*)NativeMemory.AllocZeroed(Batch, (nuint)sizeof(IoVec));
        _names = (byte*)NativeMemory.AllocZeroed(Batch, NameLength);
        _buffers = (byte*)NativeMemory.AllocZeroed(Batch, BufferLength);
        for (var i = 0; i < Batch; i++)
        {
            _vectors[i] = new IoVec { Base = _buffers + (i * BufferLength), Length = BufferLength };
            _messages[i].Header.Name = _names + (i * NameLength);
            _messages[i].Header.NameLength = NameLength;
            _messages[i].Header.Vectors = _vectors + i;
            _messages[i].Header.VectorCount = 1;
        }
    }

    public void Watch(IReadOnlyList<Socket> sockets)
    {
        _polls = new PollFd[sockets.Count];
        for (var i = 0; i < _polls.Length; i++)
        {
            _polls[i] = new PollFd { Descriptor = (int)sockets[i].Handle, Events = PollIn };
        }
    }

    public void ReceiveOnce(IDatagramTaker taker, int timeoutMilliseconds)
    {
        int ready;
        fixed (PollFd* polls = _polls)
        {
            ready = Poll(polls, (nuint)_polls.Length, timeoutMilliseconds);
        }

        if (ready <= 0)
        {
            taker.Idle();
            return;
        }

        taker.BeginBatch();
        try
        {
            for (var i = 0; i < _polls.Length; i++)
            {
                if (_polls[i].Returned != 0)
                {
                    Drain(_polls[i].Descriptor, i, taker);
                }
            }
        }
        finally
        {
            taker.EndBatch();
        }

        // Waits without a descriptor: lets a burst gather.
        _ = Poll(null, 0, 1);
    }

    public void Dispose()
    {
        NativeMemory.Free(_messages);
        NativeMemory.Free(_vectors);
        NativeMemory.Free(_names);
        NativeMemory.Free(_buffers);
    }

    private void Drain(int descriptor, int socket, IDatagramTaker taker)
    {
        // Bounded, so that a flood at one socket can't starve the others.
        for (var round = 0; round < 32; round++)
        {
            var count = RecvMMsg(descriptor, _messages, Batch, MsgDontWait, null);
            for (var i = 0; i < count; i++)
            {
                var name = new ReadOnlySpan<byte>(_names + (i * NameLength), NameLength);
                var payload = new ReadOnlySpan<byte>(_buffers + (i * BufferLength), (int)_messages[i].Length);
                taker.Take(Address(name), socket, payload);
                _messages[i].Header.NameLength = NameLength;
            }

            if (count < Batch)
            {
                return;
            }
        }
    }

    // sockaddr_in: family, port, address. sockaddr_in6: family, port, flow, address.
    private static SourceAddress Address(ReadOnlySpan<byte> name)
    {
        var port = (ushort)((name[2] << 8) | name[3]);
        return MemoryMarshal.Read<ushort>(name) switch
        {
            AfInet => SourceAddress.IPv4(name[4..], port),
            AfInet6 => SourceAddress.IPv6(name[8..], port),
            _ => default,
        };
    }

    [DllImport("libc", EntryPoint = "poll")]
    private static extern int Poll(PollFd* descriptors, nuint count, int timeoutMilliseconds);

    [DllImport("libc", EntryPoint = "recvmmsg")]
    private static extern int RecvMMsg(int descriptor, MMsgHdr* messages, uint count, int flags, void* timeout);

    [StructLayout(LayoutKind.Sequential)]
    private struct PollFd
    {
        public int Descriptor;
        public short Events;
        public short Returned;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct IoVec
    {
        public void* Base;
        public nuint Length;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct MsgHdr
    {
        public void* Name;
        public uint NameLength;
        public IoVec* Vectors;
        public nuint VectorCount;
        public void* Control;
        public nuint ControlLength;
        public int Flags;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct MMsgHdr
    {
        public MsgHdr Header;
        public uint Length;
    }
}
