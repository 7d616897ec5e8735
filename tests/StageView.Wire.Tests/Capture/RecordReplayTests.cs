using System.Net;
using System.Net.Sockets;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tests.Sockets;

namespace StageView.Wire.Tests.Capture;

[Collection("sockets")]
public sealed class RecordReplayTests
{
    private static readonly DateTimeOffset Start = new(2026, 1, 2, 3, 4, 5, TimeSpan.Zero);

    [Fact]
    public void A_capture_that_is_replayed_and_recorded_holds_the_same_packets()
    {
        var source = Tools.TempFile("source.pcapng");
        using (var writer = new PcapngWriter(File.Create(source), Start))
        {
            for (var i = 0; i < 50; i++)
            {
                var at = TimeSpan.FromMilliseconds(4 * i);
                writer.Write(at, Packets.Console1, SourceAddress.IPv4(0xEFFF_0001, 5568), Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)));
                writer.Write(at, SourceAddress.IPv4(0x0A00_0007, 6454), SourceAddress.IPv4(0x0A00_0063, 6454),
                    Packets.ArtDmx(9, (byte)(i + 1), Packets.Levels(512, (byte)i)));
                writer.Write(at, SourceAddress.IPv4(0x0A00_0008, 6454), SourceAddress.IPv4(0x0A00_0063, 6454),
                    Packets.ArtDmx(9, (byte)(i + 1), Packets.Levels(512, (byte)(50 - i))));
                writer.Write(at, Packets.Console1, SourceAddress.IPv4(0x0A00_0063, 53), "something else"u8);
            }
        }

        var options = Ports.Options(1);
        var recorded = Tools.TempFile("recorded.pcapng");
        var sink = new RecordingSink();
        using (var live = LiveSource.Listen(WireSettings.Default, options, sink, TimeProvider.System, TestContext.Current.CancellationToken))
        using (var recorder = new Recorder(recorded, Start))
        using (var reader = CaptureReader.Open(source))
        using (var replayer = new Replayer(IPAddress.Loopback, TimeProvider.System, options.E131Port, options.ArtNetPort))
        {
            live.Tap(recorder);
            replayer.Send(reader, 2, TestContext.Current.CancellationToken);
            Assert.Equal((150, 100, 50), (replayer.Sent, replayer.ArtDmxSent, replayer.LeftOut));
            // Three more end the one E1.31 stream.
            Assert.True(SpinWait.SpinUntil(() => recorder.Datagrams == 153, TimeSpan.FromSeconds(60)));
            // Not closed, as if the process were killed here: all that was written is in the file.
            Assert.True(SpinWait.SpinUntil(() => CaptureReader.Read(recorded).Count() == 153, TimeSpan.FromSeconds(60)));
            // Two Art-Net hosts stayed two.
            Assert.Equal(2, live.Read(m => m.Health()).Universes.Single(u => u.Universe == 10).Sources.Count);
        }

        var expected = CaptureReader.Read(source).Where(d => d.To.Port != 53).Select(d => Convert.ToHexString(d.Payload.Span)).Order();
        var got = CaptureReader.Read(recorded).Where(d => !Ends(d.Payload.Span)).Select(d => Convert.ToHexString(d.Payload.Span)).Order();
        Assert.Equal(expected, got);
        if (Tools.Has("tshark"))
        {
            Assert.Equal("", Tools.Run("tshark", "-r", recorded, "-Y", "_ws.malformed").Trim());
        }
    }

    private static bool Ends(ReadOnlySpan<byte> payload) => E131Parser.TryParse(payload, out E131DataPacket packet, out _) && packet.Terminated;

    [Fact]
    public void A_multicast_packet_is_recorded_with_its_group()
    {
        var options = Ports.Options(600);
        var recorded = Tools.TempFile("group.pcapng");
        using (var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken))
        using (var recorder = new Recorder(recorded, Start))
        using (var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp))
        {
            live.Tap(recorder);
            socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.MulticastInterface, IPAddress.Loopback.GetAddressBytes());
            socket.SendTo(Packets.Data(1, 600, 1, Packets.Levels(512, 5)), new IPEndPoint(E131Numbers.Group(600), options.E131Port));
            Assert.True(SpinWait.SpinUntil(() => recorder.Datagrams == 1, TimeSpan.FromSeconds(60)));
        }

        Assert.Equal($"239.255.2.88:{options.E131Port}", CaptureReader.Read(recorded).Select(d => d.To.ToString()).Single());
    }

    [Fact]
    public void A_recording_keeps_to_its_bounds_and_never_overwrites()
    {
        var path = Tools.TempFile("bounded.pcapng");
        using (var recorder = new Recorder(path, Start, mostBytes: 10_000, mostTime: TimeSpan.FromSeconds(60)))
        {
            IDatagramTap tap = recorder;
            for (var i = 0; i < 100; i++)
            {
                tap.OnDatagram(TimeSpan.FromSeconds(i), Packets.Console1, Packets.Console2, Packets.Data(1, 1, (byte)i, Packets.Levels(512, 1)));
            }

            tap.OnBatchEnd();
            Assert.Contains("size", recorder.Ended, StringComparison.Ordinal);
        }

        Assert.InRange(new FileInfo(path).Length, 9_000, 10_000);
        Assert.Throws<IOException>(() => new Recorder(path, Start));
    }

    [Fact]
    public void A_full_disk_ends_a_recording_and_what_it_claims_is_there()
    {
        using var disk = new FullDisk(20_000);
        var recorder = new Recorder(disk, Start);
        IDatagramTap tap = recorder;
        for (var i = 0; i < 100; i++)
        {
            tap.OnDatagram(TimeSpan.FromSeconds(i), Packets.Console1, Packets.Console2, Packets.Data(1, 1, (byte)i, Packets.Levels(512, 1)));
            if (i % 7 == 0)
            {
                tap.OnBatchEnd();
            }
        }

        tap.OnBatchEnd();
        recorder.Dispose();
        Assert.True(recorder.Refused);
        Assert.Contains("No space", recorder.Ended, StringComparison.Ordinal);
        var path = Tools.TempFile("full.pcapng");
        File.WriteAllBytes(path, disk.Written.ToArray());
        Assert.InRange(recorder.Datagrams, 15, CaptureReader.Read(path).Count());
        Assert.InRange(recorder.Bytes, 1, disk.Written.Length);
    }

    /// <summary>A file that takes so many bytes and no more, and keeps what it is given until it is flushed, as a file does.</summary>
    private sealed class FullDisk(int room) : MemoryStream
    {
        public MemoryStream Written { get; } = new();

        public override void Flush()
        {
            var waits = ToArray();
            SetLength(0);
            Written.Write(waits, 0, (int)Math.Min(waits.Length, room - Written.Length));
            if (Written.Length >= room)
            {
                throw new IOException("No space left on device");
            }
        }
    }
}
