using System.Globalization;
using StageView.Wire.Capture;
using StageView.Wire.Levels;

namespace StageView.Wire.Tests.Capture;

/// <summary>Captures of every kind that scapy writes, an independent maker of frames and files: link layers, either byte order, either precision.</summary>
public sealed class ForeignCaptureTests
{
    private static readonly byte[] s_payload = Packets.Data(1, 7, 0, Packets.Levels(512, 0));

    private static readonly Lazy<(string? Folder, string Why)> s_made = new(Make);

    private static (string? Folder, string Why) Make()
    {
        if (!File.Exists("/usr/bin/python3"))
        {
            return (null, "python3 is missing (Debian package python3-scapy)");
        }

        var folder = Path.GetDirectoryName(Tools.TempFile("x"))!;
        using var process = Tools.Start("/usr/bin/python3", Repo.File("tests", "independent", "captures.py"), folder, Convert.ToHexString(s_payload));
        var error = process.StandardError.ReadToEndAsync();
        process.StandardInput.Close();
        process.WaitForExit();
        return process.ExitCode == 0 ? (folder, "") : (null, "scapy is missing (Debian package python3-scapy): " + error.Result.Split('\n')[^1]);
    }

    private static string Made(string file)
    {
        if (s_made.Value.Folder is not { } folder)
        {
            Assert.Skip(s_made.Value.Why);
            return "";
        }

        return Path.Combine(folder, file);
    }

    public static TheoryData<string, string, string> Kinds()
    {
        var data = new TheoryData<string, string, string>();
        foreach (var link in new[] { "ether", "vlan", "vlans", "ether6", "vlan6", "sll", "sll6", "sll2", "null", "raw", "raw6", "rawip4", "rawip6" })
        {
            foreach (var order in new[] { "little", "big" })
            {
                foreach (var precision in new[] { "micro", "nano" })
                {
                    data.Add(link, order, precision);
                }
            }
        }

        return data;
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Is_read_as_it_was_made(string link, string order, string precision)
    {
        var path = Made($"{link}-{order}-{precision}.pcap");
        using var reader = CaptureReader.Open(path);
        var six = link.Contains('6', StringComparison.Ordinal);
        for (var n = 0; n < 3; n++)
        {
            Assert.True(reader.TryRead(out var datagram), reader.Problem);
            Assert.Equal(six ? "[fe80::1]:4000" : "10.0.0.1:4000", datagram.From.ToString());
            Assert.Equal(six ? "[ff18::8300:7]:5568" : "239.255.0.7:5568", datagram.To.ToString());
            Assert.Equal([.. s_payload[..^1], (byte)n], datagram.Payload.ToArray());
            // 10 ms and 100 ns apart; microseconds lose the 100 ns.
            Assert.Equal(n * (precision == "nano" ? 100_001L : 100_000L), datagram.At.Ticks);
        }

        Assert.False(reader.TryRead(out _));
        Assert.Null(reader.Problem);
        Assert.Equal(3, reader.Records);
    }

    [Theory]
    [InlineData("ether.pcapng", 0x4D)]
    [InlineData("ether-big.pcapng", 0x1A)]
    public void Pcapng_is_read_in_either_byte_order(string file, byte firstOfByteOrderMagic)
    {
        var path = Made(file);
        Assert.Equal(firstOfByteOrderMagic, File.ReadAllBytes(path)[8]);
        Assert.Equal([(0L, 0), (100_000L, 1), (200_000L, 2)], CaptureReader.Read(path).Select(d => (d.At.Ticks, (int)d.Payload.Span[^1])));
        // By the index too: it keeps the byte order of each place.
        var index = CaptureIndex.Open(path);
        Assert.Equal((3L, 200_000L), (index.Datagrams, index.Length.Ticks));
        using var reader = CaptureReader.Open(path);
        var player = new CapturePlayer(reader, new UniverseMerger(WireSettings.Default));
        player.SeekTo(CaptureIndex.Open(path), TimeSpan.FromSeconds(1));
        Assert.Equal(3, player.Fed);
    }

    [Fact]
    public void A_file_that_mergecap_puts_together_from_several_links_is_read_in_order()
    {
        Tools.Need("mergecap", "wireshark-common");
        var merged = Path.Combine(Path.GetDirectoryName(Made("ether.pcapng"))!, "merged.pcapng");
        Tools.Run("mergecap", "-w", merged, Made("ether.pcapng"), Made("sll2-little-nano.pcap"), Made("vlan-big-micro.pcap"), Made("raw6-little-micro.pcap"));
        var all = CaptureReader.Read(merged).Select(d => (d.At, d.From.IsIPv4, Last: d.Payload.Span[^1])).ToList();
        Assert.Equal(12, all.Count);
        Assert.Equal(all.Select(d => d.At).Order(), all.Select(d => d.At));
        Assert.Equal([0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2, 2], all.Select(d => (int)d.Last));
        Assert.Equal(3, all.Count(d => !d.IsIPv4));
        // The nanosecond file begins 200 ns after the others.
        Assert.Equal(TimeSpan.FromTicks(200_004), all[^1].At);
    }

    [Theory]
    [InlineData("sll2-big-nano.pcap")]
    [InlineData("vlans-little-micro.pcap")]
    [InlineData("null-little-micro.pcap")]
    public void Tshark_reads_the_same(string file)
    {
        Tools.Need("tshark", "tshark");
        var path = Made(file);
        var theirs = Tools.Run("tshark", "-r", path, "-t", "r", "-T", "fields", "-e", "ip.src", "-e", "udp.srcport", "-e", "udp.payload")
            .Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(l => l.Split('\t'));
        var ours = CaptureReader.Read(path)
            .Select(d => new[] { d.From.ToString().Split(':')[0], d.From.Port.ToString(CultureInfo.InvariantCulture),
                Convert.ToHexStringLower(d.Payload.Span) });
        Assert.Equal(theirs, ours);
    }
}
