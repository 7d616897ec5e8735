using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.E131;

/// <summary>
/// Packets that others published: the worked example of synchronisation in ANSI E1.31-2018, Annex B (tables B-13 and B-14: source
/// "Source_A", universe 1, synchronisation address 7962), as two open libraries transcribe it in their tests (RustLight/sacn,
/// Hundemeier/sacn), and the discovery packets that the same two libraries write. None was made by our writer.
/// The printed table B-14 has two slips that both libraries note: a sequence number of 367 and a root length of 0x30; a sequence
/// number is one byte, and the length of the packet as printed is 0x21 (E1.17 §2.4.2).
/// </summary>
public sealed class PublishedPacketTests
{
    private const string Root = "001000004153432d45312e31370000007";
    private const string Source = "ef07c8dd00644401a3a2459ef8e6143e";
    private static readonly string s_name = "536f757263655f41" + new string('0', 112);

    private static byte[] Bytes(params string[] hex) => Convert.FromHexString(string.Concat(hex));

    // Table B-13: all 512 levels 0 as printed; a test that needs others writes them in.
    private static byte[] DataB13() => Bytes(
        Root, "26e00000004", Source, "725800000002", s_name, "64", "1f1a", "9a", "00", "0001", "720b", "02", "a1", "0000", "0001", "0201", "00",
        new string('0', 1024));

    private static byte[] SyncB14(string sequence) => Bytes(Root, "02100000008", Source, "700b00000001", sequence, "1f1a", "0000");

    private static byte[] Discovery(string pages, string universes) =>
        Bytes(Root, "06e00000008", Source, "705800000002", s_name, "00000000", "700e", "00000001", pages, universes);

    [Fact]
    public void The_standards_data_packet_is_read_and_written()
    {
        var bytes = DataB13();
        Assert.Equal(638, bytes.Length);
        Assert.True(E131Parser.TryParse(bytes, out E131DataPacket p, out var why), why.ToString());
        Assert.Equal("ef07c8dd-0064-4401-a3a2-459ef8e6143e", p.Cid.ToString());
        Assert.Equal(("Source_A", 100, 7962, 154, 1, 512),
            (PlainText.From(p.SourceName), p.Priority, p.SyncAddress, p.Sequence, p.Universe.Value, p.Levels.Length));
        Assert.False(p.Preview || p.Terminated || p.ForceSync);
        var ours = new byte[638];
        Assert.Equal(638, E131Writer.Write(ours, p));
        Assert.Equal(bytes, ours);
    }

    // 0x70 is 367 modulo 255 (RustLight/sacn), 67 is Hundemeier/sacn's reading of the same slip.
    [Theory]
    [InlineData("70", 0x70)]
    [InlineData("43", 67)]
    public void The_standards_synchronisation_packet_is_read_and_written(string hex, byte sequence)
    {
        var bytes = SyncB14(hex);
        Assert.Equal(49, bytes.Length);
        Assert.Equal(E131PacketKind.Sync, E131Parser.Kind(bytes));
        Assert.True(E131Parser.TryParseSync(bytes, out var p, out var why), why.ToString());
        Assert.Equal(("ef07c8dd-0064-4401-a3a2-459ef8e6143e", sequence, 7962), (p.Cid.ToString(), p.Sequence, p.SyncAddress));
        var ours = new byte[49];
        Assert.Equal(49, E131Writer.Write(ours, p));
        Assert.Equal(bytes, ours);
    }

    [Theory]
    [InlineData("0001", "000100020003", 0, 1, "1 2 3")] // Hundemeier/sacn
    [InlineData("0102", "000300040005", 1, 2, "3 4 5")] // RustLight/sacn
    public void Other_libraries_discovery_packets_are_read_and_written(string pages, string list, byte page, byte last, string universes)
    {
        var bytes = Discovery(pages, list);
        Assert.Equal(E131PacketKind.Discovery, E131Parser.Kind(bytes));
        Assert.True(E131Parser.TryParseDiscovery(bytes, out var p, out var why), why.ToString());
        var numbers = new ushort[p.Count];
        for (var i = 0; i < numbers.Length; i++)
        {
            numbers[i] = p[i];
        }

        Assert.Equal(("Source_A", page, last, universes), (PlainText.From(p.SourceName), p.Page, p.LastPage, string.Join(' ', numbers)));
        var ours = new byte[126];
        Assert.Equal(126, E131Writer.WriteDiscovery(ours, p.Cid, p.SourceName, page, last, numbers));
        Assert.Equal(bytes, ours);
    }

    [Fact]
    public void The_standards_example_plays_as_the_standard_says()
    {
        static TimeSpan Ms(int t) => TimeSpan.FromMilliseconds(t);
        var merger = new UniverseMerger(WireSettings.Default);
        byte Level()
        {
            Assert.True(merger.TryGetLevels(new UniverseNumber(1), out var levels));
            return levels[0];
        }

        byte[] Data(byte sequence, byte level)
        {
            var bytes = DataB13();
            bytes[111] = sequence;
            bytes[126] = level;
            return bytes;
        }

        // §11.1: no synchronisation packet yet, so levels count at once; then they wait for it.
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(0), Packets.Console1, Data(154, 10)));
        Assert.Equal(10, Level());
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(1), Packets.Console1, SyncB14("70")));
        Assert.Equal(PacketOutcome.Held, merger.Receive(Ms(25), Packets.Console1, Data(155, 20)));
        Assert.Equal(10, Level());
        // The same number again is late (§6.7.2); the next one releases.
        Assert.Equal(PacketOutcome.Duplicate, merger.Receive(Ms(26), Packets.Console1, SyncB14("70")));
        Assert.Equal(10, Level());
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(27), Packets.Console1, SyncB14("71")));
        Assert.Equal(20, Level());
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(30), Packets.Console1, Discovery("0000", "000100020003")));
        Assert.Equal([1, 2, 3], merger.Health().Senders.Single().Offers);
        // §6.2.6: its levels are ignored, and the source is gone at once.
        var last = Data(156, 99);
        last[112] = 0x40;
        Assert.Equal(PacketOutcome.Taken, merger.Receive(Ms(40), Packets.Console1, last));
        Assert.Equal(20, Level());
        Assert.Equal(SourceStanding.Ended, merger.Health().Universes.Single().Sources.Single().Standing);
    }
}
