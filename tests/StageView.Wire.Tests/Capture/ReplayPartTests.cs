using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using System.Text;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Tests.Capture;

/// <summary>Parts of a capture, sent again. Offsets are those of ANSI E1.31-2018 table 4-1 and of Art-Net 4's ArtDmx, written out here beside ours.</summary>
[Collection("sockets")]
public sealed class ReplayPartTests : IDisposable
{
    private readonly Socket _listener = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };

    public ReplayPartTests() => _listener.Bind(new IPEndPoint(IPAddress.Loopback, 0));

    public void Dispose() => _listener.Dispose();

    /// <summary>Two universes of one source, a packet each every .1 s with its tenth as level, sequence numbers from 250 on; Art-Net beside it.</summary>
    private static string Saved()
    {
        var path = Tools.TempFile("part.pcapng");
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        for (var i = 0; i < 10; i++)
        {
            foreach (var universe in new[] { 1, 2 })
            {
                writer.Write(TimeSpan.FromSeconds(.1 * i), Packets.Console1, SourceAddress.IPv4(0xEFFF_0001, 5568),
                    Packets.Data(1, universe, (byte)(250 + i), [(byte)(10 * i)], name: "desk"));
            }

            writer.Write(TimeSpan.FromSeconds(.1 * i), Packets.Console2, Packets.Console1, Packets.ArtDmx(4, (byte)(200 + i), [(byte)(10 * i), 0]));
        }

        return path;
    }

    private List<byte[]> Heard(ReplayPart part, out Replayer replayer, string? capture = null)
    {
        var port = ((IPEndPoint)_listener.LocalEndPoint!).Port;
        var file = capture ?? Saved();
        using (replayer = new Replayer(IPAddress.Loopback, TimeProvider.System, port, port))
        {
            replayer.Send(() => CaptureReader.Open(file), part, TestContext.Current.CancellationToken);
        }

        var heard = new List<byte[]>();
        var buffer = new byte[2048];
        for (var i = 0; i < replayer.Sent + (3 * replayer.Ended); i++)
        {
            heard.Add(buffer[.._listener.Receive(buffer)]);
        }

        // Without the packets that end the streams.
        return [.. heard.Where(p => IsArtNet(p) || p.Length < 113 || (p[112] & 0x40) == 0)];
    }

    private static bool IsArtNet(byte[] packet) => packet[0] == (byte)'A';

    private static List<(int Universe, int Sequence, int Level)> Sacn(IEnumerable<byte[]> heard) =>
        [.. heard.Where(p => !IsArtNet(p)).Select(p => (BinaryPrimitives.ReadUInt16BigEndian(p.AsSpan(113)), (int)p[111], (int)p[126]))];

    [Fact]
    public void A_part_begins_with_the_levels_of_its_beginning_and_keeps_its_pace()
    {
        var heard = Heard(new ReplayPart { From = TimeSpan.FromSeconds(.45), Until = TimeSpan.FromSeconds(.65), Speed = 100 }, out var replayer);
        Assert.Equal([(1, 254, 40), (2, 254, 40), (1, 255, 50), (2, 255, 50), (1, 0, 60), (2, 0, 60)], Sacn(heard));
        Assert.Equal([40, 50, 60], heard.Where(IsArtNet).Select(p => (int)p[18]));
        Assert.Equal((9, 1, 0), (replayer.Sent, replayer.Passes, replayer.LeftOut));
    }

    [Fact]
    public void Universes_are_chosen_by_their_numbers_in_both_protocols()
    {
        Assert.All(Sacn(Heard(new ReplayPart { Universes = new HashSet<int> { 2 }, Speed = 100 }, out var one)), p => Assert.Equal(2, p.Universe));
        Assert.Equal(10, one.Sent);
        // Port-address 4 is universe 5.
        Assert.All(Heard(new ReplayPart { Universes = new HashSet<int> { 5 }, Speed = 100 }, out var five), p => Assert.True(IsArtNet(p)));
        Assert.Equal((10, 20), (five.Sent, five.LeftOut));
    }

    [Fact]
    public void What_is_sent_again_counts_on()
    {
        var heard = Heard(new ReplayPart { Times = 10, Universes = new HashSet<int> { 1, 5 }, Speed = 1000 }, out var replayer);
        Assert.Equal((200, 10), (replayer.Sent, replayer.Passes));
        Assert.Equal(Enumerable.Range(0, 100).Select(i => (250 + i) % 256), Sacn(heard).Select(p => p.Sequence));
        // Art-Net's numbers are 1 to 255: 0 says that there are none.
        Assert.Equal(Enumerable.Range(0, 100).Select(i => 1 + ((199 + i) % 255)), heard.Where(IsArtNet).Select(p => (int)p[12]));
    }

    [Fact]
    public void A_name_of_its_own_has_a_CID_of_its_own()
    {
        static string Name(byte[] p) => Encoding.UTF8.GetString(p, 44, 64).TrimEnd('\0');
        static Guid Cid(byte[] p) => new(p.AsSpan(22, 16));
        var plain = Heard(new ReplayPart { Speed = 1000 }, out _).Where(p => !IsArtNet(p)).ToList();
        var named = Heard(new ReplayPart { Speed = 1000, SourceName = "spare tablé", Priority = 90 }, out _).Where(p => !IsArtNet(p)).ToList();
        var again = Heard(new ReplayPart { Speed = 1000, SourceName = "spare tablé" }, out _).Where(p => !IsArtNet(p)).ToList();
        Assert.All(plain, p => Assert.Equal(("desk", 100), (Name(p), p[108])));
        Assert.All(named, p => Assert.Equal(("spare tablé", 90), (Name(p), p[108])));
        Assert.All(again, p => Assert.Equal(100, p[108]));
        Assert.NotEqual(Cid(plain[0]), Assert.Single(named.Select(Cid).Distinct()));
        Assert.Equal(Cid(named[0]), Cid(again[0]));
        var other = Heard(new ReplayPart { Speed = 1000, SourceName = "other" }, out _).First(p => !IsArtNet(p));
        Assert.NotEqual(Cid(named[0]), Cid(other));
        // RFC 9562 §5.8: version 8, variant binary 10.
        Assert.Equal((0x80, 0x80), (other[28] & 0xF0, other[30] & 0xC0));
        Assert.Equal(plain.Select(p => p[126]), named.Select(p => p[126]));
    }

    /// <summary>Synchronisation packets count for themselves (E1.31-2018 table 4-2: number at octet 44, address at 45), and have the CID of their
    /// source.</summary>
    [Fact]
    public void Synchronisation_counts_on_and_stays_with_its_source()
    {
        var path = Tools.TempFile("sync.pcapng");
        using (var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero)))
        {
            for (var i = 0; i < 4; i++)
            {
                writer.Write(TimeSpan.FromSeconds(.1 * i), Packets.Console1, SourceAddress.IPv4(0xEFFF_0001, 5568), Packets.Data(1, 1, (byte)i, [9], sync: 7));
                writer.Write(TimeSpan.FromSeconds(.1 * i), Packets.Console1, SourceAddress.IPv4(0xEFFF_0007, 5568), Packets.Sync(1, 7, (byte)(100 + i)));
            }
        }

        var heard = Heard(new ReplayPart { Times = 3, Speed = 1000, SourceName = "spare" }, out _, path);
        static bool IsSync(byte[] p) => p[21] == 8;
        Assert.Equal(Enumerable.Range(100, 12), heard.Where(IsSync).Select(p => (int)p[44]));
        Assert.Equal(Enumerable.Range(0, 12), heard.Where(p => !IsSync(p)).Select(p => (int)p[111]));
        Assert.Single(heard.Select(p => new Guid(p.AsSpan(22, 16))).Distinct());
    }

    [Fact]
    public void A_part_that_begins_after_the_end_is_refused()
    {
        var problem = Assert.Throws<CaptureException>(() => Heard(new ReplayPart { From = TimeSpan.FromSeconds(2) }, out _));
        Assert.Contains("ends at 0.9 s, before 2 s", problem.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_part_without_packets_is_not_sent_again_and_again_in_silence()
    {
        var problem = Assert.Throws<CaptureException>(() => Heard(new ReplayPart { Universes = new HashSet<int> { 9 }, Times = 0, Speed = 1000 }, out _));
        Assert.Contains("nothing to send again", problem.Message, StringComparison.Ordinal);
    }
}
