using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using System.Text;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Tests.Capture;

/// <summary>
/// Replayed E1.31 streams are ended: three packets with bit 6 of the options, after ANSI E1.31-2018 §6.2.6. Offsets are those of its tables 4-1 and 7-8,
/// written out here beside ours.
/// </summary>
[Collection("sockets")]
public sealed class ReplayEndTests : IDisposable
{
    private static readonly DateTimeOffset Start = new(2026, 1, 2, 3, 4, 5, TimeSpan.Zero);
    private readonly List<byte[]> _heard = [];
    private readonly Socket _listener = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };

    public ReplayEndTests() => _listener.Bind(new IPEndPoint(IPAddress.Loopback, 0));

    public void Dispose() => _listener.Dispose();

    private Replayer Replayer() => new(IPAddress.Loopback, TimeProvider.System, ((IPEndPoint)_listener.LocalEndPoint!).Port, FreePort.Udp());

    private void Hear(int packets)
    {
        var buffer = new byte[2048];
        for (var i = 0; i < packets; i++)
        {
            _heard.Add(buffer[.._listener.Receive(buffer)]);
        }

        Assert.Equal(0, _listener.Available);
    }

    private static string Saved(params (double Seconds, byte[] Payload)[] packets)
    {
        var path = Tools.TempFile("ends.pcapng");
        using var writer = new PcapngWriter(File.Create(path), Start);
        foreach (var (seconds, payload) in packets)
        {
            writer.Write(TimeSpan.FromSeconds(seconds), Packets.Console1, SourceAddress.IPv4(0xEFFF_0001, 5568), payload);
        }

        return path;
    }

    [Fact]
    public void Each_source_and_universe_is_ended_by_three_packets_laid_out_as_the_standard_says()
    {
        byte[] levels = [10, 20, 30];
        var file = Saved(
            (0, Packets.Data(1, 1, 254, levels, priority: 150, sync: 7, name: "desk")),
            (0, Packets.Data(1, 0x1234, 9, levels)),
            (0, Packets.Data(2, 1, 77, levels, preview: true)),
            (0, Packets.Data(1, 1, 255, [200, 200, 200], startCode: 0xDD, name: "desk")));
        using var replayer = Replayer();
        using var reader = CaptureReader.Open(file);
        replayer.Send(reader, 1, TestContext.Current.CancellationToken);
        Assert.Equal((4, 3), (replayer.Sent, replayer.Ended));
        Hear(4 + 9);
        foreach (var (i, packet) in _heard.Skip(4).Index())
        {
            Assert.True(E131Parser.TryParse(packet, out E131DataPacket read, out var why), why.ToString());
            Assert.True(read.Terminated);
            // All three streams once, then all again: what a lost burst takes with it is one of three.
            var (cid, universe, sequence) = (i % 3) switch { 0 => (1, 1, 255), 1 => (1, 0x1234, 9), _ => (2, 1, 77) };
            Assert.Equal((Packets.Cid(cid), universe), (read.Cid, read.Universe.Value));
            Assert.Equal((byte)(sequence + 1 + (i / 3)), read.Sequence);
            Assert.Equal(cid == 2, read.Preview);
            Assert.Equal(levels, read.Levels);
            Assert.Equal(0, read.StartCode);
            Assert.Equal(0, read.SyncAddress);
        }

        // Table 4-1: preamble size, post-amble size, ACN packet identifier, flags and length, vector, CID. 129 bytes in all, lengths from their own field.
        var first = _heard[4];
        Assert.Equal(129, first.Length);
        Assert.Equal([0x00, 0x10, 0x00, 0x00, 0x41, 0x53, 0x43, 0x2D, 0x45, 0x31, 0x2E, 0x31, 0x37, 0, 0, 0], first[..16]);
        Assert.Equal(0x7000 + 129 - 16, BinaryPrimitives.ReadUInt16BigEndian(first.AsSpan(16)));
        Assert.Equal(4u, BinaryPrimitives.ReadUInt32BigEndian(first.AsSpan(18)));
        // Framing (6.2): flags and length, vector, source name of 64 bytes, priority, synchronisation address, sequence, options, universe.
        Assert.Equal(0x7000 + 129 - 38, BinaryPrimitives.ReadUInt16BigEndian(first.AsSpan(38)));
        Assert.Equal(2u, BinaryPrimitives.ReadUInt32BigEndian(first.AsSpan(40)));
        Assert.Equal("desk".PadRight(64, '\0'), Encoding.UTF8.GetString(first, 44, 64));
        Assert.Equal([150, 0, 0, 0, 0x40, 0, 1], first[108..115]);
        Assert.Equal(0xC0, _heard[6][112]);
        // DMP (7-8): flags and length, vector 2, type A1, first address 0, increment 1, count of 4, start code and levels.
        Assert.Equal(0x7000 + 129 - 115, BinaryPrimitives.ReadUInt16BigEndian(first.AsSpan(115)));
        Assert.Equal([0x02, 0xA1, 0, 0, 0, 1, 0, 4, 0, 10, 20, 30], first[117..]);
    }

    [Fact]
    public void A_stream_that_the_capture_ended_is_not_ended_again()
    {
        var end = Packets.Data(1, 1, 2, [5], terminated: true);
        using var replayer = Replayer();
        using var reader = CaptureReader.Open(Saved((0, Packets.Data(1, 1, 1, [5])), (0, end)));
        replayer.Send(reader, 1, TestContext.Current.CancellationToken);
        Hear(2);
        Assert.Equal(0, replayer.Ended);
        Assert.Equal(end, _heard[1]);
    }

    [Fact]
    public async Task Streams_are_ended_when_the_sending_is_stopped()
    {
        // The second packet's time is far away: without the stop this would wait for an hour.
        using var stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        using var replayer = Replayer();
        using var reader = CaptureReader.Open(Saved((0, Packets.Data(1, 1, 1, [5])), (3600, Packets.Data(1, 1, 2, [6]))));
        var sending = Task.Run(() => replayer.Send(reader, 1, stop.Token), TestContext.Current.CancellationToken);
        Hear(1);
        await stop.CancelAsync();
        await sending;
        Hear(3);
        Assert.All(_heard.Skip(1), p => Assert.Equal((0x40, 5), (p[112], p[126])));
    }

    [Fact]
    public void Streams_are_ended_when_the_sending_fails()
    {
        using var replayer = new Replayer(IPAddress.Loopback, new FailingClock(), ((IPEndPoint)_listener.LocalEndPoint!).Port, FreePort.Udp());
        using var reader = CaptureReader.Open(Saved((0, Packets.Data(1, 1, 1, [5])), (0, Packets.Data(1, 1, 2, [6]))));
        Assert.Throws<InvalidOperationException>(() => replayer.Send(reader, 1, TestContext.Current.CancellationToken));
        Hear(4);
        Assert.Equal([0, 0x40, 0x40, 0x40], _heard.Select(p => p[112]));
    }

    /// <summary>Tells the time for one packet (start, wait, lateness), then fails.</summary>
    private sealed class FailingClock : TimeProvider
    {
        private int _asked;

        public override long GetTimestamp() => ++_asked > 3 ? throw new InvalidOperationException("the clock stands") : 0;
    }
}
