using System.Buffers.Binary;
using System.Net;
using System.Net.Sockets;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tests.Sockets;

namespace StageView.Wire.Tests.ArtNet;

[Collection("sockets")]
public sealed class ArtPollReplyTests
{
    private static byte[] Poll()
    {
        byte[] poll = new byte[14];
        "Art-Net\0"u8.CopyTo(poll);
        poll[9] = 0x20;
        poll[11] = 14;
        return poll;
    }

    [Fact]
    public void Ports_of_another_sub_net_begin_a_new_page()
    {
        var pages = ArtPollReply.Pages([0, 1, 2, 3, 4, 15, 16, 17, 256]);
        Assert.Equal(["0,1,2,3", "4,15", "16,17", "256"], pages.Select(p => string.Join(',', p)));
    }

    [Fact]
    public void A_poll_is_answered_with_all_pages_to_the_host_that_asked_on_the_port_of_Art_Net()
    {
        var options = Ports.Options([.. Enumerable.Range(1, 10)]);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        var desk = IPAddress.Parse("127.0.0.2");
        using var listener = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };
        listener.Bind(new IPEndPoint(desk, options.ArtNetPort));
        using var asker = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        asker.Bind(new IPEndPoint(desk, 0));
        // Data on port-address 1 (universe 2), so that its page says so.
        asker.SendTo(Packets.ArtDmx(1, 1, Packets.Levels(512, 9)), new IPEndPoint(IPAddress.Loopback, options.ArtNetPort));
        asker.SendTo(Poll(), new IPEndPoint(IPAddress.Loopback, options.ArtNetPort));
        var pages = new List<byte[]>();
        var buffer = new byte[600];
        while (pages.Count < 3)
        {
            pages.Add(buffer[..listener.Receive(buffer)]);
        }

        Assert.Equal([1, 2, 3], pages.Select(p => (int)p[211]));
        Assert.All(pages, p =>
        {
            Assert.Equal(239, p.Length);
            Assert.Equal(ArtOpCode.PollReply, ArtNetParser.OpCode(p));
            Assert.Equal<byte>([127, 0, 0, 1], p[10..14]);
            Assert.Equal(options.ArtNetPort, BinaryPrimitives.ReadUInt16LittleEndian(p.AsSpan(14)));
            Assert.Equal(6, p[200]);
        });
        Assert.Equal<byte>([0, 0x80, 0, 0], pages[0][182..186]);
        Assert.Equal([4, 4, 2], pages.Select(p => (int)p[173]));
        Assert.Equal<byte>([8, 9], pages[2][190..192]);
    }

    [Fact]
    public void Tshark_decodes_the_answer_without_a_malformed_mark()
    {
        Tools.Need("tshark", "tshark");
        var path = Tools.TempFile("reply.pcapng");
        var page = new byte[ArtPollReply.Length];
        ArtPollReply.Write(page, 0x0A00_0005, 6454, [0x212, 0x213], 2, [2, 0x5A, 3, 4, 5, 6], p => p == 0x213, _ => false);
        using (var writer = new PcapngWriter(File.Create(path), DateTimeOffset.UnixEpoch.AddYears(50)))
        {
            writer.Write(TimeSpan.Zero, SourceAddress.IPv4(0x0A00_0005, 6454), SourceAddress.IPv4(0x0A00_0063, 6454), page);
        }

        var text = Tools.Run("tshark", "-r", path, "-V");
        Assert.DoesNotContain("alformed", text, StringComparison.Ordinal);
        Assert.Contains("ArtPollReply (0x2100)", text, StringComparison.Ordinal);
        Assert.Contains("Short Name: StageView", text, StringComparison.Ordinal);
        Assert.Contains("10.0.0.5", text, StringComparison.Ordinal);
        Assert.Contains("MAC: 02:5a:03:04:05:06", text, StringComparison.Ordinal);
        Assert.Contains("Number of Ports: 2", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Unknown", text.Split("Style")[^1].Split('\n')[0], StringComparison.Ordinal);
    }
}
