using System.Globalization;
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

    /// <summary>Datagrams of the part that are neither E1.31 nor Art-Net, or of universes that were not asked for.</summary>
    public long LeftOut { get; private set; }

    /// <summary>The furthest that a packet left after its time.</summary>
    public TimeSpan MostLate { get; private set; }

    /// <summary>Times that the part was sent, the one under way counted.</summary>
    public int Passes { get; private set; }

    /// <summary>Sends until the part has been sent as often as asked or the token is cancelled; then, and when it fails, ends the E1.31 streams.</summary>
    /// <param name="open">Opens the capture at its start, once for each time.</param>
    /// <param name="part">What of it.</param>
    /// <param name="stop">Ends the sending.</param>
    /// <returns>What was wrong with the capture, a text each.</returns>
    /// <exception cref="SendException">The address can't be reached.</exception>
    /// <exception cref="CaptureException">The file can't be read as a capture, or nothing lies in the part.</exception>
    public IReadOnlyList<string> Send(Func<CaptureReader> open, ReplayPart part, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(open);
        ArgumentNullException.ThrowIfNull(part);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(part.Speed);
        var packets = new ReplayPackets(part);
        try
        {
            var (start, length) = (_time.GetTimestamp(), TimeSpan.Zero);
            List<string>? problems = null;
            for (Passes = 1; ; Passes++)
            {
                using var reader = open();
                var before = Sent;
                var end = SendAll(reader, part, packets, start, length * (Passes - 1), stop);
                problems ??= [.. new[] { reader.Problem, reader.ClockProblem, reader.LossProblem }.OfType<string>()];
                length = Passes == 1 ? end : length;
                if (stop.IsCancellationRequested || Passes == part.Times)
                {
                    return problems;
                }

                if (Sent == before || length <= TimeSpan.Zero)
                {
                    throw new CaptureException($"{reader.Path}: nothing to send again and again lies in that part");
                }

                packets.Again();
            }
        }
        finally
        {
            Ended += _streams.Count;
            _streams.End(TrySend);
        }
    }

    /// <summary>The same for all of an open capture, once.</summary>
    public void Send(CaptureReader reader, double speed, CancellationToken stop) => Send(() => reader, ReplayPart.Whole with { Speed = speed }, stop);

    public void Dispose()
    {
        foreach (var socket in _hosts.Values.Distinct())
        {
            socket.Dispose();
        }
    }

    /// <summary>One pass; how long it lasts at the asked speed.</summary>
    private TimeSpan SendAll(CaptureReader reader, ReplayPart part, ReplayPackets packets, long start, TimeSpan after, CancellationToken stop)
    {
        // The last levels of each stream before the part, in the order in which they came.
        var held = new Dictionary<ReplayPackets.Stream, (long Order, SourceAddress From, byte[] Payload)>();
        var (order, last, end) = (0L, part.From, TimeSpan.Zero);
        while (!stop.IsCancellationRequested && reader.TryRead(out var datagram) && !(datagram.At > part.Until))
        {
            var payload = datagram.Payload.Span;
            (last, end) = (datagram.At > last ? datagram.At : last, datagram.At > end ? datagram.At : end);
            if (!CaptureContent.IsShow(payload) || !packets.Takes(payload))
            {
                LeftOut += datagram.At >= part.From && Passes == 1 ? 1 : 0;
                continue;
            }

            if (datagram.At < part.From)
            {
                if (ReplayPackets.StreamOf(datagram.From, payload) is { } stream)
                {
                    held[stream] = (order++, datagram.From, payload.ToArray());
                }

                continue;
            }

            if (held is { Count: > 0 })
            {
                SendHeld(held.Values, packets);
                held.Clear();
            }

            if (!WaitFor(start, after + ((datagram.At - part.From) / part.Speed), stop))
            {
                return default;
            }

            SendOne(datagram.From, packets.Changed(datagram.From, payload));
        }

        if (end < part.From && !stop.IsCancellationRequested)
        {
            throw new CaptureException(string.Create(CultureInfo.InvariantCulture,
                $"{reader.Path}: ends at {end.TotalSeconds:0.###} s, before {part.From.TotalSeconds:0.###} s, where the part begins"));
        }

        SendHeld(held.Values, packets);
        var length = ((part.Until ?? last) - part.From) / part.Speed;
        // A part that ends in silence lasts as long as asked, as does one that is sent again.
        WaitFor(start, after + length, stop);
        return length;
    }

    private void SendHeld(IEnumerable<(long Order, SourceAddress From, byte[] Payload)> held, ReplayPackets packets)
    {
        foreach (var (_, from, payload) in held.OrderBy(h => h.Order))
        {
            if (!E131Parser.TryParse(payload, out E131DataPacket data, out _) || !data.Terminated)
            {
                SendOne(from, packets.Changed(from, payload));
            }
        }
    }

    /// <summary>False when it was stopped meanwhile.</summary>
    private bool WaitFor(long start, TimeSpan due, CancellationToken stop)
    {
        var wait = due - _time.GetElapsedTime(start);
        // A millisecond is the system's own grain; earlier packets of the same millisecond leave as one burst.
        if (wait >= TimeSpan.FromMilliseconds(1) && stop.WaitHandle.WaitOne(wait))
        {
            return false;
        }

        var late = _time.GetElapsedTime(start) - due;
        MostLate = late > MostLate ? late : MostLate;
        return true;
    }

    private void SendOne(SourceAddress from, ReadOnlySpan<byte> payload)
    {
        var artNet = CaptureContent.IsArtNet(payload);
        try
        {
            var by = From(from);
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
        if (_to.AddressFamily == AddressFamily.InterNetwork && IPAddress.IsLoopback(_to))
        {
            try
            {
                socket.Bind(new IPEndPoint(new IPAddress([127, 0, 1, (byte)(_hosts.Count + 1)]), 0));
            }
            catch (SocketException)
            {
                // macOS has no loopback address but 127.0.0.1 unless told: all hosts then send from that one, each from a port of its own.
            }
        }

        _hosts.Add((host.High, host.Low), socket);
        return socket;
    }
}
