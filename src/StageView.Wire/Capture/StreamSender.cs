using System.Net;
using System.Net.Sockets;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>
/// Sends E1.31 packets to one address as they are made. However the sending ends, each stream is ended as a source ends it (E1.31-2018 §6.2.6).
/// </summary>
/// <param name="to">Where to.</param>
/// <param name="port">UDP port.</param>
public sealed class StreamSender(IPAddress to, int port = E131Numbers.Port) : IDisposable
{
    private readonly Socket _socket = new(to.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
    private readonly IPEndPoint _end = new(to, port);
    private readonly SentStreams _streams = new();
    private bool _disposed;

    /// <summary>Packets sent, those that end streams not counted.</summary>
    public long Sent { get; private set; }

    /// <summary>Streams (a source and a universe) that are open.</summary>
    public int Streams => _streams.Count;

    /// <exception cref="SendException">The address can't be reached.</exception>
    public void Send(ReadOnlySpan<byte> packet)
    {
        try
        {
            _socket.SendTo(packet, _end);
        }
        catch (SocketException e)
        {
            throw new SendException($"can't send to {to}: {e.Message}", e);
        }

        _streams.Note(packet, _socket);
        Sent++;
    }

    public void Dispose()
    {
        if (_disposed)
        {
            return;
        }

        _disposed = true;
        _streams.End((by, packet) =>
        {
            try
            {
                by.SendTo(packet, _end);
            }
            catch (SocketException)
            {
                // Whoever listens finds out by its own time-out, 2.5 s.
            }
        });
        _socket.Dispose();
    }
}
