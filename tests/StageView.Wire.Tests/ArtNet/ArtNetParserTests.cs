using FsCheck;
using FsCheck.Fluent;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Tests.ArtNet;

public sealed class ArtNetParserTests
{
    // By the Art-Net 4 layout: net 2, sub-net 1, universe 3 (port-address 0x213), sequence 5, physical 1, four levels.
    private static readonly byte[] ByHand =
    [
        (byte)'A', (byte)'r', (byte)'t', (byte)'-', (byte)'N', (byte)'e', (byte)'t', 0, 0x00, 0x50, 0, 14, 5, 1, 0x13, 0x02, 0, 4, 9, 8, 7, 6,
    ];

    [Fact]
    public void Reads_and_writes_a_packet_laid_out_by_hand()
    {
        Assert.Equal(ArtOpCode.Dmx, ArtNetParser.OpCode(ByHand));
        Assert.True(ArtNetParser.TryParse(ByHand, out ArtDmxPacket p, out var why), why.ToString());
        Assert.Equal((5, 1, 0x213), (p.Sequence, p.Physical, p.PortAddress));
        Assert.Equal<byte>([9, 8, 7, 6], p.Levels.ToArray());
        var buffer = new byte[600];
        Assert.Equal(ByHand, buffer[..ArtNetWriter.Write(buffer, p)]);
    }

    [Fact]
    public void Every_cut_is_refused()
    {
        for (var n = 1; n < ByHand.Length; n++)
        {
            Assert.False(ArtNetParser.TryParse(ByHand.AsSpan(0, n), out ArtDmxPacket _, out var why));
            Assert.Equal(RefusalKind.TooShort, why.Kind);
        }
    }

    [Theory]
    [InlineData(3, (byte)'x', RefusalKind.NotThisProtocol)]
    [InlineData(9, 0x51, RefusalKind.BadField)]
    [InlineData(11, 13, RefusalKind.OldVersion)]
    [InlineData(15, 0x80, RefusalKind.BadField)]
    [InlineData(17, 0, RefusalKind.BadLength)]
    [InlineData(17, 5, RefusalKind.TooShort)]
    [InlineData(16, 3, RefusalKind.BadLength)]
    public void A_wrong_field_is_refused_and_named(int offset, byte value, RefusalKind kind)
    {
        var bytes = (byte[])ByHand.Clone();
        bytes[offset] = value;
        Assert.False(ArtNetParser.TryParse(bytes, out ArtDmxPacket _, out var why));
        Assert.Equal(kind, why.Kind);
    }

    [Fact]
    public void No_bytes_break_the_parser()
    {
        Prop.ForAll(ArbMap.Default.ArbFor<byte[]>(), ArbMap.Default.ArbFor<(int At, byte Value)[]>(), (noise, edits) =>
        {
            var bytes = (byte[])ByHand.Clone();
            foreach (var (at, value) in edits ?? [])
            {
                bytes[(int)((uint)at % bytes.Length)] = value;
            }

            _ = ArtNetParser.TryParse(noise ?? [], out ArtDmxPacket _, out _);
            return ArtNetParser.TryParse(bytes, out ArtDmxPacket p, out var why) == (why.Kind == RefusalKind.None) && p.Levels.Length <= 512;
        }).Check(Config.QuickThrowOnFailure.WithMaxTest(1000));
    }
}
