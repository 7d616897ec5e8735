using System.Net;
using System.Net.Sockets;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>
/// Sends the E1.31 and Art-Net packets of a capture again, at their own pace or a multiple of it, as unicast: to loopback unless
/// another address is named. On Linux's loopback every host of the capture gets an address of its own (127.0.1.n), so that
/// Art-Net sources, which are told apart by address, stay apart. However the sending ends, each E1.31 stream is ended as a source ends it (E1.31-2018 §6.2.6),
/// but for those that the capture itself ended. Art-Net has no packet for that: its nodes keep the last levels, or do what their fail-safe is set to.
/// </summary>
public sealed class Replayer : IDisposable
{
    private const int MostHosts = 250;
    private readonly IPAddress _to;
    private readonly int _e131Port;
    private readonly int _artNetPort;
    private readonly TimeProvider _time;
    private readonly Dictionary<(ulong High, ulong Low), Socket> _hosts = [];
    private readonly SentStreams _streams = new();

    public Replayer(IPAddress to, TimeProvider time, int e131Port = E131Numbers.Port, int artNetPort = ArtNetNumbers.Port)
    {
        ArgumentNullException.ThrowIfNull(to);
        ArgumentNullException.ThrowIfNull(time);
        _to = to;
        _time = time;
        _e131Port = e131Port;
        _artNetPort = artNetPort;
    }

    /// <summary>Packets of the capture that were sent.</summary>
    public long Sent { get; private set; }

    /// <summary>Of these, ArtDmx packets: levels whose stream can't be ended.</summary>
    public long ArtDmxSent { get; private set; }

    /// <summary>E1.31 streams (a source and a universe) that were ended when the sending ended.</summary>
    public int Ended { get; private set; }

    /// <summary>Datagrams of the capture that are neither E1.31 nor Art-Net.</summary>
    public long LeftOut { get; private set; }

    /// <summary>The furthest that a packet left after its time.</summary>
    public TimeSpan MostLate { get; private set; }

    /// <summary>Sends until the capture ends or the token is cancelled; then, and when it fails, ends the E1.31 streams.</summary>
    /// <param name="reader">The capture, at its start.</param>
    /// <param name="speed">1 for its own pace, N for N times faster; above 0.</param>
    /// <param name="stop">Ends the sending.</param>
    /// <exception cref="SendException">The address can't be reached.</exception>
    public void Send(CaptureReader reader, double speed, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(reader);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(speed);
        try
        {
            SendAll(reader, speed, stop);
        }
        finally
        {
            Ended += _streams.Count;
            _streams.End(TrySend);
        }
    }

    public void Dispose()
    {
        foreach (var socket in _hosts.Values.Distinct())
        {
            socket.Dispose();
        }
    }

    private void SendAll(CaptureReader reader, double speed, CancellationToken stop)
    {
        var start = _time.GetTimestamp();
        while (!stop.IsCancellationRequested && reader.TryRead(out var datagram))
        {
            var payload = datagram.Payload.Span;
            if (!CaptureContent.IsShow(payload))
            {
                LeftOut++;
                continue;
            }

            var due = datagram.At / speed;
            var wait = due - _time.GetElapsedTime(start);
            while (wait > TimeSpan.Zero)
            {
                // A millisecond is the system's own grain; earlier packets of the same millisecond leave as one burst.
                if (wait < TimeSpan.FromMilliseconds(1) || !stop.WaitHandle.WaitOne(wait))
                {
                    break;
                }

                return;
            }

            var late = _time.GetElapsedTime(start) - due;
            MostLate = late > MostLate ? late : MostLate;
            var artNet = CaptureContent.IsArtNet(payload);
            try
            {
                var by = From(datagram.From);
                by.SendTo(payload, new IPEndPoint(_to, artNet ? _artNetPort : _e131Port));
                _streams.Note(payload, by);
            }
            catch (SocketException e)
            {
                throw new SendException($"can't send to {_to}: {e.Message}", e);
            }

            Sent++;
            ArtDmxSent += artNet && ArtNetParser.OpCode(payload) == ArtOpCode.Dmx ? 1 : 0;
        }
    }

    // The network that failed may be why the sending ends: the other packets are tried all the same.
    private void TrySend(Socket by, ReadOnlySpan<byte> packet)
    {
        try
        {
            by.SendTo(packet, new IPEndPoint(_to, _e131Port));
        }
        catch (SocketException)
        {
            // Whoever listens finds out by its own time-out, 2.5 s.
        }
    }

    private Socket From(SourceAddress host)
    {
        if (_hosts.TryGetValue((host.High, host.Low), out var known))
        {
            return known;
        }

        if (_hosts.Count >= MostHosts)
        {
            return _hosts.First().Value;
        }

        var socket = new Socket(_to.AddressFamily, SocketType.Dgram, ProtocolType.Udp);
        if (OperatingSystem.IsLinux() && _to.AddressFamily == AddressFamily.InterNetwork && IPAddress.IsLoopback(_to))
        {
            socket.Bind(new IPEndPoint(new IPAddress([127, 0, 1, (byte)(_hosts.Count + 1)]), 0));
        }

        _hosts.Add((host.High, host.Low), socket);
        return socket;
    }
}
