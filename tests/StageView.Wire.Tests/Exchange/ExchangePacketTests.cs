using System.Text;
using StageView.Wire.Exchange;

namespace StageView.Wire.Tests.Exchange;

public sealed class ExchangePacketTests
{
    // DIN SPEC 15801, packet definition: 778682 is 0x000BE1BA; all fields big-endian.
    private static readonly byte[] s_head =
    [
        0x00, 0x0B, 0xE1, 0xBA, 0, 0, 0, 1, 0, 0, 0, 2, 0, 0, 0, 5, 0, 0, 0, 1, 0, 0, 0, 0, 0, 1, 0, 7,
    ];

    [Fact]
    public void A_head_lies_as_the_standard_says()
    {
        Assert.True(ExchangePacket.TryRead(s_head, out var packet, out _));
        Assert.Equal(new ExchangePacket(2, 5, ExchangeContent.File, 0x10007), packet);
        var written = new byte[ExchangeNumbers.HeaderLength];
        packet.Write(written);
        Assert.Equal(s_head, written);
    }

    [Theory]
    [InlineData(3, 0xBB, 0)]
    [InlineData(7, 2, 4)]
    [InlineData(11, 5, 8)]
    [InlineData(15, 0, 12)]
    [InlineData(12, 1, 12)]
    [InlineData(19, 2, 16)]
    [InlineData(20, 0x80, 20)]
    [InlineData(23, 1, 20)]
    public void A_field_that_lies_is_named_by_its_byte(int at, byte value, int named)
    {
        var bytes = s_head.ToArray();
        bytes[at] = value;
        Assert.False(ExchangePacket.TryRead(bytes, out _, out var refusal));
        Assert.Equal(named, refusal.Offset);
    }

    [Fact]
    public async Task A_message_in_packets_and_pieces_of_any_size_is_one()
    {
        var message = new ExchangeMessage { Type = ExchangeMessage.Join, Provider = "p", StationName = "größer", Station = Guid.NewGuid() }.Write();
        for (var pieces = 1; pieces < 9; pieces++)
        {
            var read = await new ExchangeStream(new Dripping(Packets(0, message, pieces), pieces), TimeProvider.System)
                .Read(TestContext.Current.CancellationToken);
            Assert.Equal("größer", read!.StationName);
        }
    }

    [Fact]
    public async Task What_breaks_the_order_or_the_bounds_ends_the_connection_with_its_reason()
    {
        var two = Packets(0, "{\"Type\":\"MVR_JOIN\"}"u8.ToArray(), 2);
        var swapped = two.ToArray();
        swapped[11] = 1;
        Assert.Contains("came where", await Refused(swapped), StringComparison.Ordinal);
        Assert.Contains("within a packet", await Refused(two[..^1]), StringComparison.Ordinal);
        Assert.Contains("nobody asked for", await Refused(Packets(1, [1, 2, 3], 1)), StringComparison.Ordinal);

        // Each packet keeps to the bound, all of them don't.
        var most = new byte[ExchangeNumbers.MostJsonBytes + 2];
        Array.Fill(most, (byte)' ');
        Assert.Contains("a MiB", await Refused(Packets(0, most, 2)), StringComparison.Ordinal);
        Assert.Contains("nested too deep", await Refused(Packets(0, Encoding.UTF8.GetBytes("{\"Type\":\"MVR_JOIN\",\"Commits\":" + new string('[', 5000)), 1)),
            StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_file_longer_than_its_commit_says_is_cut_off()
    {
        using var to = new MemoryStream();
        var stream = new ExchangeStream(new MemoryStream(Packets(1, new byte[5000], 5)), TimeProvider.System);
        var e = await Assert.ThrowsAsync<ExchangeException>(() => stream.Read(to, 3500, TestContext.Current.CancellationToken));
        Assert.Contains("more than 3500 bytes", e.Message, StringComparison.Ordinal);
        Assert.True(to.Length <= 3500);
    }

    [Fact]
    public async Task Bytes_of_chance_are_refused_in_words()
    {
        var random = new Random(5);
        var good = Packets(0, new ExchangeMessage { Type = ExchangeMessage.Leave, Station = Guid.NewGuid() }.Write(), 2);
        for (var i = 0; i < 3000; i++)
        {
            var bytes = good.ToArray();
            for (var k = 1 + random.Next(4); k > 0; k--)
            {
                bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            }

            try
            {
                await new ExchangeStream(new MemoryStream(bytes), TimeProvider.System).Read(TestContext.Current.CancellationToken);
            }
            catch (ExchangeException e)
            {
                Assert.NotEmpty(e.Message);
            }
        }
    }

    internal static byte[] Packets(uint type, byte[] payload, int pieces)
    {
        using var to = new MemoryStream();
        for (var i = 0; i < pieces; i++)
        {
            var part = payload[(payload.Length * i / pieces)..(payload.Length * (i + 1) / pieces)];
            var head = new byte[ExchangeNumbers.HeaderLength];
            new ExchangePacket((uint)i, (uint)pieces, (ExchangeContent)type, part.Length).Write(head);
            to.Write(head);
            to.Write(part);
        }

        return to.ToArray();
    }

    private static async Task<string> Refused(byte[] bytes) => (await Assert.ThrowsAsync<ExchangeException>(
        () => new ExchangeStream(new MemoryStream(bytes), TimeProvider.System).Read(TestContext.Current.CancellationToken))).Message;

    private sealed class Dripping(byte[] bytes, int most) : MemoryStream(bytes)
    {
        public override ValueTask<int> ReadAsync(Memory<byte> buffer, CancellationToken cancellationToken = default) =>
            base.ReadAsync(buffer[..Math.Min(most, buffer.Length)], cancellationToken);
    }
}
