using FsCheck;
using FsCheck.Fluent;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Tests.E131;

public sealed class E131ParserTests
{
    // Written byte by byte from the offsets of ANSI E1.31-2018 tables 4-1, 6-5 and 7-8, not by our writer: universe 7, priority 120,
    // sequence 9, preview, sync address 0x1F41, levels 10 20 30.
    private static byte[] ByHand()
    {
        var b = new byte[129];
        byte[] root = [0x00, 0x10, 0x00, 0x00, 0x41, 0x53, 0x43, 0x2D, 0x45, 0x31, 0x2E, 0x31, 0x37, 0, 0, 0, 0x70, 113, 0, 0, 0, 4];
        root.CopyTo(b, 0);
        for (var i = 0; i < 16; i++)
        {
            b[22 + i] = (byte)(0xA0 + i);
        }

        b[38] = 0x70;
        b[39] = 91;
        b[43] = 2;
        "Desk one"u8.CopyTo(b.AsSpan(44));
        b[108] = 120;
        b[109] = 0x1F;
        b[110] = 0x41;
        b[111] = 9;
        b[112] = 0x80;
        b[114] = 7;
        b[115] = 0x70;
        b[116] = 14;
        b[117] = 2;
        b[118] = 0xA1;
        b[122] = 1;
        b[124] = 4;
        b[126] = 10;
        b[127] = 20;
        b[128] = 30;
        return b;
    }

    [Fact]
    public void Reads_a_packet_laid_out_by_the_standards_tables()
    {
        var bytes = ByHand();
        Assert.True(E131Parser.TryParse(bytes, out E131DataPacket p, out var why), why.ToString());
        Assert.Equal("a0a1a2a3-a4a5-a6a7-a8a9-aaabacadaeaf", p.Cid.ToString());
        Assert.Equal("Desk one", PlainText.From(p.SourceName));
        Assert.Equal(120, p.Priority);
        Assert.Equal(8001, p.SyncAddress);
        Assert.Equal(9, p.Sequence);
        Assert.True(p.Preview);
        Assert.False(p.Terminated);
        Assert.False(p.ForceSync);
        Assert.Equal(7, p.Universe.Value);
        Assert.Equal(0, p.StartCode);
        Assert.Equal<byte>([10, 20, 30], p.Levels.ToArray());
    }

    [Fact]
    public void The_writer_writes_the_same_bytes()
    {
        var bytes = ByHand();
        Assert.True(E131Parser.TryParse(bytes, out E131DataPacket p, out _));
        var buffer = new byte[700];
        Assert.Equal(bytes, buffer[..E131Writer.Write(buffer, p)]);
    }

    [Fact]
    public void What_is_written_is_read_back()
    {
        Prop.ForAll(
            ArbMap.Default.ArbFor<(byte[] Levels, byte Priority, ushort Sync, byte Sequence, byte Options)>(),
            ArbMap.Default.ArbFor<(ushort Universe, byte StartCode, string Name)>(),
            (a, b) =>
            {
                var levels = (a.Levels ?? []).Take(512).ToArray();
                var bytes = Packets.Data(
                    3, 1 + (b.Universe % 63999), a.Sequence, levels, (byte)(a.Priority % 201), a.Sync, b.StartCode,
                    (a.Options & 1) != 0, (a.Options & 2) != 0, (a.Options & 4) != 0);
                return E131Parser.Kind(bytes) == E131PacketKind.Data
                    && E131Parser.TryParse(bytes, out E131DataPacket p, out _)
                    && p.Cid == Packets.Cid(3) && p.Universe.Value == 1 + (b.Universe % 63999) && p.Sequence == a.Sequence
                    && p.Priority == a.Priority % 201 && p.SyncAddress == a.Sync && p.StartCode == b.StartCode
                    && p.Preview == ((a.Options & 1) != 0) && p.Terminated == ((a.Options & 2) != 0) && p.ForceSync == ((a.Options & 4) != 0)
                    && p.Levels.SequenceEqual(levels);
            }).QuickCheckThrowOnFailure();
    }

    [Fact]
    public void Every_cut_is_refused_with_its_place()
    {
        var bytes = ByHand();
        for (var n = 0; n < bytes.Length; n++)
        {
            Assert.False(E131Parser.TryParse(bytes.AsSpan(0, n), out E131DataPacket _, out var why));
            Assert.Equal(n == 0 ? RefusalKind.NotThisProtocol : RefusalKind.TooShort, why.Kind);
        }

        Assert.True(E131Parser.TryParse([.. bytes, 1, 2, 3], out E131DataPacket p, out _));
        Assert.Equal(3, p.Levels.Length);
    }

    [Theory]
    [InlineData(0, 1, RefusalKind.NotThisProtocol)]
    [InlineData(4, (byte)'B', RefusalKind.NotThisProtocol)]
    [InlineData(17, 114, RefusalKind.BadLength)]
    [InlineData(16, 0x60, RefusalKind.BadLength)]
    [InlineData(21, 5, RefusalKind.BadField)]
    [InlineData(39, 90, RefusalKind.BadLength)]
    [InlineData(43, 3, RefusalKind.BadField)]
    [InlineData(108, 201, RefusalKind.PriorityOutOfRange)]
    [InlineData(114, 0, RefusalKind.UniverseOutOfRange)]
    [InlineData(113, 0xFA, RefusalKind.UniverseOutOfRange)]
    [InlineData(116, 15, RefusalKind.BadLength)]
    [InlineData(117, 3, RefusalKind.BadField)]
    [InlineData(118, 0xA2, RefusalKind.BadField)]
    [InlineData(120, 1, RefusalKind.BadField)]
    [InlineData(122, 2, RefusalKind.BadField)]
    [InlineData(124, 0, RefusalKind.BadLength)]
    [InlineData(124, 5, RefusalKind.TooShort)]
    [InlineData(123, 3, RefusalKind.BadLength)]
    public void A_wrong_field_is_refused_and_named(int offset, byte value, RefusalKind kind)
    {
        var bytes = ByHand();
        bytes[offset] = value;
        Assert.False(E131Parser.TryParse(bytes, out E131DataPacket _, out var why));
        Assert.Equal(kind, why.Kind);
        Assert.DoesNotContain("Kind", why.ToString(), StringComparison.Ordinal);
        if (kind is not (RefusalKind.TooShort or RefusalKind.UniverseOutOfRange))
        {
            Assert.InRange(why.Offset, offset - 3, offset);
        }
    }

    [Fact]
    public void No_bytes_break_a_parser()
    {
        var valid = ByHand();
        Prop.ForAll(ArbMap.Default.ArbFor<byte[]>(), ArbMap.Default.ArbFor<(int At, byte Value)[]>(), (noise, edits) =>
        {
            var bytes = (byte[])valid.Clone();
            foreach (var (at, value) in edits ?? [])
            {
                bytes[(int)((uint)at % bytes.Length)] = value;
            }

            foreach (var input in new[] { noise ?? [], bytes })
            {
                _ = E131Parser.Kind(input);
                if (E131Parser.TryParse(input, out E131DataPacket p, out var why) == (why.Kind != RefusalKind.None) || p.Levels.Length > 512)
                {
                    return false;
                }

                _ = E131Parser.TryParseSync(input, out _, out _);
                _ = E131Parser.TryParseDiscovery(input, out _, out _);
            }

            return true;
        }).Check(Config.QuickThrowOnFailure.WithMaxTest(1000));
    }

    [Fact]
    public void Sync_and_discovery_are_read_back()
    {
        var sync = Packets.Sync(5, 9001, 77);
        Assert.Equal(49, sync.Length);
        Assert.Equal(E131PacketKind.Sync, E131Parser.Kind(sync));
        Assert.True(E131Parser.TryParseSync(sync, out var s, out _));
        Assert.Equal(new E131SyncPacket(Packets.Cid(5), 77, 9001), s);
        // §6.3.3.1: address 0 is ignored.
        Assert.False(E131Parser.TryParseSync(Packets.Sync(5, 0, 1), out _, out _));

        var buffer = new byte[1144];
        ushort[] universes = [1, 2, 600, 63999];
        var length = E131Writer.WriteDiscovery(buffer, Packets.Cid(6), "Desk"u8, 0, 1, universes);
        Assert.Equal(128, length);
        Assert.Equal(E131PacketKind.Discovery, E131Parser.Kind(buffer.AsSpan(0, length)));
        Assert.True(E131Parser.TryParseDiscovery(buffer.AsSpan(0, length), out var d, out var why), why.ToString());
        Assert.Equal(4, d.Count);
        Assert.Equal(600, d[2]);
        Assert.Equal(1, d.LastPage);
        for (var n = 0; n < length; n++)
        {
            Assert.False(E131Parser.TryParseDiscovery(buffer.AsSpan(0, n), out _, out _));
        }

        Assert.Equal(1144, E131Writer.WriteDiscovery(buffer, Packets.Cid(6), "Desk"u8, 0, 0, new ushort[512]));
    }

    [Fact]
    public void Groups_are_those_of_the_standard()
    {
        // §9.3.1, §9.3.2.
        Assert.Equal("239.255.31.65", E131Numbers.Group(0x1F41).ToString());
        Assert.Equal("ff18::8300:1f41", E131Numbers.Group6(0x1F41).ToString());
    }
}
