using SharpPcap;
using SharpPcap.LibPcap;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Capture;

public sealed class CaptureTests
{
    private static readonly DateTimeOffset Start = new(2026, 1, 2, 3, 4, 5, TimeSpan.Zero);

    private static readonly SourceAddress Group1 = SourceAddress.IPv4(0xEFFF_0001, 5568);

    private static string Written(bool ethernet = true, int packets = 40)
    {
        var path = Tools.TempFile("written.pcapng");
        using var writer = new PcapngWriter(File.Create(path), Start, ethernet);
        for (var i = 0; i < packets; i++)
        {
            var at = TimeSpan.FromTicks(i * 250_000L + 3);
            writer.Write(at, Packets.Console1, Group1, Packets.Data(1, 1, (byte)i, Packets.Levels(511 + (i % 2), (byte)i)));
            writer.Write(at, Packets.Console2 with { Port = 6454 }, SourceAddress.IPv4(0x0AFF_FFFF, 6454),
                Packets.ArtDmx(9, (byte)(i + 1), Packets.Levels(512, (byte)i)));
        }

        return path;
    }

    private static List<(TimeSpan At, string From, string To, byte[] Payload)> ReadAll(string path, Action<string>? problem = null) =>
        [.. CaptureReader.Read(path, problem).Select(d => (d.At, d.From.ToString(), d.To.ToString(), d.Payload.ToArray()))];

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void What_is_written_is_read_back(bool ethernet)
    {
        var all = ReadAll(Written(ethernet));
        Assert.Equal(80, all.Count);
        Assert.Equal(TimeSpan.FromTicks(39 * 250_000L), all[^1].At);
        Assert.Equal(("10.0.0.1:5568", "239.255.0.1:5568"), (all[4].From, all[4].To));
        Assert.Equal(Packets.Data(1, 1, 2, Packets.Levels(511, 2)), all[4].Payload);
    }

    /// <summary>RFC 791, 3.1: a first fragment has its more-fragments bit set. What it said of the levels is lost, and that is told.</summary>
    [Fact]
    public void Fragments_of_levels_are_told()
    {
        var path = Written();
        Assert.Empty(Problems(path));
        var bytes = File.ReadAllBytes(path);
        bytes[bytes.AsSpan().IndexOf("ASC-E1.17"u8) - 4 - 8 - 20 + 6] = 0x20;
        File.WriteAllBytes(path, bytes);
        Assert.Contains("of 1 packet of sACN or Art-Net it holds a part only", Assert.Single(Problems(path)), StringComparison.Ordinal);

        // Where the frame holds less than the datagram says: RFC 768's length.
        bytes[bytes.AsSpan().IndexOf("Art-Net"u8) - 4] = 0x7F;
        File.WriteAllBytes(path, bytes);
        Assert.Contains("2 packets", Assert.Single(Problems(path)), StringComparison.Ordinal);

        static List<string> Problems(string path)
        {
            var told = new List<string>();
            ReadAll(path, told.Add);
            return told;
        }
    }

    [Fact]
    public void IPv6_is_written_and_read()
    {
        var path = Tools.TempFile("six.pcapng");
        var from = SourceAddress.From(new System.Net.IPEndPoint(System.Net.IPAddress.Parse("fe80::1"), 4000));
        var to = SourceAddress.From(new System.Net.IPEndPoint(Wire.E131.E131Numbers.Group6(7), 5568));
        using (var writer = new PcapngWriter(File.Create(path), Start))
        {
            writer.Write(TimeSpan.Zero, from, to, Packets.Data(1, 7, 0, Packets.Levels(512, 9)));
        }

        Assert.Equal(("[fe80::1]:4000", "[ff18::8300:7]:5568"), ReadAll(path).Select(d => (d.From, d.To)).Single());
        if (Tools.Has("tshark"))
        {
            Assert.Equal("1\t1", Tools.Run("tshark", "-r", path, "-o", "udp.check_checksum:TRUE", "-T", "fields", "-e", "udp.checksum.status", "-e",
                "frame.number").Trim());
        }
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Tshark_decodes_what_is_written_without_a_malformed_mark(bool ethernet)
    {
        Tools.Need("tshark", "tshark");
        var path = Written(ethernet);
        var lines = Tools.Run(
            "tshark", "-r", path, "--enable-heuristic", "acn", "-o", "acn.dmx_enable:TRUE", "-o", "ip.check_checksum:TRUE", "-o", "udp.check_checksum:TRUE",
            "-T", "fields", "-e", "frame.time_epoch", "-e", "ip.checksum.status", "-e", "udp.checksum.status", "-e", "frame.protocols", "-e", "_ws.malformed")
            .Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(80, lines.Length);
        Assert.Equal(40, lines.Count(l => l.Contains("udp:acn", StringComparison.Ordinal)));
        Assert.Equal(40, lines.Count(l => l.Contains("udp:artnet", StringComparison.Ordinal)));
        Assert.All(lines, l =>
        {
            var f = l.Split('\t');
            Assert.Equal("1", f[1]);
            Assert.Equal("1", f[2]);
            Assert.Equal("", f.Length > 4 ? f[4] : "");
        });
        Assert.Equal($"{Start.ToUnixTimeSeconds()}.975000300", lines[^1].Split('\t')[0]);
    }

    [Fact]
    public void A_cut_last_record_is_reported_and_the_rest_used()
    {
        var path = Written();
        var whole = File.ReadAllBytes(path);
        for (var cut = 1; cut < 900; cut += 37)
        {
            var part = Tools.TempFile("cut.pcapng");
            File.WriteAllBytes(part, whole[..^cut]);
            string? problem = null;
            var all = ReadAll(part, p => problem = p);
            Assert.Equal(cut <= 604 ? 79 : 78, all.Count);
            if (cut != 604)
            {
                Assert.Contains("cut short at byte", problem, StringComparison.Ordinal);
                Assert.Contains(part, problem, StringComparison.Ordinal);
            }
        }
    }

    [Fact]
    public void A_foreign_file_is_refused_with_its_reason()
    {
        var path = Tools.TempFile("foreign.bin");
        File.WriteAllText(path, "this is no capture");
        var e = Assert.Throws<CaptureException>(() => CaptureReader.Open(path));
        Assert.Contains("neither pcap nor pcapng", e.Message, StringComparison.Ordinal);
        File.WriteAllBytes(path, [0xD4, 0xC3, 0xB2, 0xA1, 2]);
        Assert.Contains("within the file header", Assert.Throws<CaptureException>(() => CaptureReader.Open(path)).Message, StringComparison.Ordinal);
        File.WriteAllBytes(path, []);
        Assert.Throws<CaptureException>(() => CaptureReader.Open(path));
        Assert.Contains("no such capture", Assert.Throws<CaptureException>(() => CaptureReader.Open(path + ".not")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Damage_in_the_middle_ends_the_reading_with_its_place()
    {
        var path = Written();
        var bytes = File.ReadAllBytes(path);
        // Total length of the second packet block.
        var second = 44 + 32 + 700;
        bytes[second + 4] = 0xFF;
        for (var i = 0; i < bytes.Length; i++)
        {
            var edited = (byte[])bytes.Clone();
            if (i % 97 == 0)
            {
                edited[i] ^= 0x5A;
                File.WriteAllBytes(path, edited);
                try
                {
                    ReadAll(path);
                }
                catch (CaptureException)
                {
                    // A clear refusal is as good as a report.
                }
            }
        }
    }

    // tshark's editcap and tcpdump write the other kinds; SharpPcap with PacketDotNet is the independent reader.
    [Theory]
    [InlineData("pcap", "ether")]
    [InlineData("nsecpcap", "ether")]
    [InlineData("pcapng", "ether")]
    [InlineData("nsecpcap", "rawip")]
    public void Files_that_editcap_writes_read_the_same(string kind, string link)
    {
        Tools.Need("editcap", "wireshark-common");
        var source = Written(link == "ether");
        var path = Tools.TempFile("by-editcap." + kind);
        Tools.Run("editcap", "-F", kind, source, path);
        var ours = ReadAll(path);
        var expected = ReadAll(source);
        Assert.Equal(expected.Select(d => (d.From, d.To)), ours.Select(d => (d.From, d.To)));
        Assert.True(expected.Zip(ours).All(p => p.First.Payload.SequenceEqual(p.Second.Payload)));
        var tolerance = kind == "pcap" ? 10 : 0;
        Assert.All(expected.Zip(ours), p => Assert.InRange((p.First.At - p.Second.At).Ticks, -tolerance, tolerance));
        AgreesWithSharpPcap(path, ours);
    }

    private static void AgreesWithSharpPcap(string path, List<(TimeSpan At, string From, string To, byte[] Payload)> ours)
    {
        try
        {
            using var device = new CaptureFileReaderDevice(path);
            device.Open();
            var theirs = new List<byte[]>();
            while (device.GetNextPacket(out var capture) == GetPacketStatus.PacketRead)
            {
                var raw = capture.GetPacket();
                var udp = PacketDotNet.Packet.ParsePacket(raw.LinkLayerType, raw.Data).Extract<PacketDotNet.UdpPacket>();
                if (udp is not null)
                {
                    theirs.Add(udp.PayloadData);
                }
            }

            Assert.Equal(theirs.Count, ours.Count);
            Assert.True(theirs.Zip(ours).All(p => p.First.SequenceEqual(p.Second.Payload)));
        }
        catch (DllNotFoundException)
        {
            Assert.Skip("libpcap is missing (Debian package libpcap0.8)");
        }
    }

    [Fact]
    public void A_player_feeds_the_history_up_to_a_time()
    {
        using var reader = CaptureReader.Open(Written());
        var sink = new RecordingSink();
        var merger = new UniverseMerger(WireSettings.Default, sink);
        var player = new CapturePlayer(reader, merger);
        player.PlayTo(TimeSpan.FromMilliseconds(250));
        Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
        Assert.Equal(10, levels[0]);
        Assert.Equal(22, player.Fed);
        Assert.Equal(TimeSpan.FromMilliseconds(250), merger.Now);
        player.PlayToEnd();
        Assert.True(player.AtEnd);
        Assert.True(merger.TryGetLevels(new UniverseNumber(10), out levels));
        Assert.Equal(39, levels[511]);
    }
}
