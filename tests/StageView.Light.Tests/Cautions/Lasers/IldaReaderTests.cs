using System.Buffers.Binary;
using StageView.Light.Cautions.Lasers.Ilda;

namespace StageView.Light.Tests.Cautions.Lasers;

public sealed class IldaReaderTests
{
    private static byte[] Section(byte format, int count, byte[] records, string name = "frame", int number = 0)
    {
        var bytes = new byte[32 + records.Length];
        "ILDA"u8.CopyTo(bytes);
        bytes[7] = format;
        System.Text.Encoding.ASCII.GetBytes(name).CopyTo(bytes, 8);
        System.Text.Encoding.ASCII.GetBytes("maker").CopyTo(bytes, 16);
        BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(24), (ushort)count);
        BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(26), (ushort)number);
        BinaryPrimitives.WriteUInt16BigEndian(bytes.AsSpan(28), 1);
        bytes[30] = 2;
        records.CopyTo(bytes, 32);
        return bytes;
    }

    private static readonly byte[] End = Section(0, 0, []);

    private static IldaFile Read(params byte[][] sections)
    {
        Assert.True(IldaReader.TryParse([.. sections.SelectMany(s => s)], out var file, out var why), why.ToString());
        return file!;
    }

    private static string Refused(params byte[][] sections)
    {
        Assert.False(IldaReader.TryParse([.. sections.SelectMany(s => s)], out var file, out var why));
        Assert.Null(file);
        return why.ToString();
    }

    // The layouts of the ILDA Image Data Transfer Format, revision 011: big-endian, blue before red in formats 4 and 5, status bit 6 blanks.
    [Fact]
    public void Each_format_by_its_layout()
    {
        var deep = Read(Section(0, 2, [0x7F, 0xFF, 0x80, 0x00, 0x00, 0x05, 0x00, 24, 0xFF, 0xFF, 0x00, 0x01, 0xFF, 0xFE, 0xC0, 0], number: 7),
            End).Frames.Single();
        Assert.Equal(("frame", "maker", 7, 2), (deep.Name, deep.Company, deep.Number, deep.Projector));
        Assert.Equal(new IldaPoint(32767, -32768, 5, false, 0x00FF00), deep.Points[0]);
        Assert.Equal(new IldaPoint(-1, 1, -2, true, 0xFF0000), deep.Points[1]);
        Assert.Equal(new IldaPoint(16, 32, 0, false, 0x0000FF), Read(Section(1, 1, [0, 16, 0, 32, 0, 40]), End).Frames[0].Points[0]);
        Assert.Equal(new IldaPoint(1, 2, 3, false, 0x302010), Read(Section(4, 1, [0, 1, 0, 2, 0, 3, 0x80, 0x10, 0x20, 0x30]), End).Frames[0].Points[0]);
        Assert.Equal(new IldaPoint(1, 2, 0, true, 0x302010), Read(Section(5, 1, [0, 1, 0, 2, 0x40, 0x10, 0x20, 0x30]), End).Frames[0].Points[0]);
    }

    [Fact]
    public void A_palette_holds_for_the_frames_after_it()
    {
        var point = new byte[] { 0, 0, 0, 0, 0, 1 };
        var file = Read(Section(1, 1, point), Section(2, 2, [1, 2, 3, 9, 8, 7]), Section(1, 1, point), Section(1, 1, [0, 0, 0, 0, 0, 200]), End);
        Assert.Equal([0xFF1000, 0x090807, 0xFFFFFF], file.Frames.Select(f => f.Points[0].Rgb));
        Assert.Contains("past the palette", Assert.Single(file.Notes), StringComparison.Ordinal);
    }

    // The standard's table: 0 red, 16 yellow, 24 green, 31 cyan, 40 blue, 48 magenta, 56 white.
    [Theory]
    [InlineData(0, 0xFF0000)]
    [InlineData(16, 0xFFFF00)]
    [InlineData(24, 0x00FF00)]
    [InlineData(31, 0x00FFFF)]
    [InlineData(40, 0x0000FF)]
    [InlineData(48, 0xFF00FF)]
    [InlineData(56, 0xFFFFFF)]
    public void Colours_without_a_palette(byte index, int rgb) => Assert.Equal(rgb, Read(Section(1, 1, [0, 0, 0, 0, 0, index]), End).Frames[0].Points[0].Rgb);

    [Fact]
    public void A_frame_as_a_scan()
    {
        var frame = Read(Section(5, 3, [0x80, 0, 0, 0, 0x40, 255, 0, 0, 0x40, 0, 0x40, 0, 0, 0, 0, 128, 0, 0, 0, 0, 0, 0, 0, 0]), End).Frames[0];
        var scan = frame.ToScan(0.8f, 0.4f, 30_000);
        Assert.Equal((-0.4f, 0f, 0f), (scan.Points[0].X, scan.Points[0].Y, scan.Points[0].Share));
        Assert.Equal(0.2f, scan.Points[1].X, 1e-4f);
        Assert.Equal(0.1f, scan.Points[1].Y, 1e-4f);
        Assert.Equal(1, scan.Points[1].Share);
        Assert.Equal(128 / 255f, frame.ToScan(0.8f, 0.4f, 30_000, fullPower: false).Points[1].Share);
        // Black is dark though not blanked.
        Assert.Equal(0, scan.Points[2].Share);
    }

    [Fact]
    public void Faults_are_named_with_their_byte()
    {
        Assert.Equal("byte 0: the file is empty", Refused([]));
        Assert.Equal("byte 0: the file holds no frame", Refused(End));
        Assert.Equal("byte 0: a header takes 32 bytes, 5 are left", Refused([1, 2, 3, 4, 5]));
        Assert.Equal("byte 0: a section begins with the letters ILDA", Refused(new byte[40]));
        Assert.Equal("byte 45: format 3 is not one of 0, 1, 2, 4, 5", Refused(Section(2, 2, new byte[6]), Section(3, 1, new byte[6])));
        Assert.Equal("byte 32: 9 records of 8 bytes are announced, 16 bytes are left", Refused(Section(0, 9, new byte[16])));
        Assert.Equal("byte 24: a palette holds 2 to 256 colours, not 1", Refused(Section(2, 1, new byte[3])));
    }

    [Fact]
    public void What_follows_the_end_is_left_out_and_a_missing_end_is_noted()
    {
        Assert.Empty(Read(Section(1, 1, new byte[6]), End, [1, 2, 3]).Notes);
        Assert.Contains("without the header that ends it", Assert.Single(Read(Section(1, 1, new byte[6])).Notes), StringComparison.Ordinal);
        Assert.Contains("left out", Read(Section(1, 1, new byte[6]), [1, 2, 3]).Notes[0], StringComparison.Ordinal);
    }

    [Fact]
    public void Hostile_bytes_are_refused_or_read_never_more()
    {
        var good = new[] { Section(2, 4, new byte[12]), Section(0, 3, new byte[24]), Section(4, 2, new byte[20]), End }.SelectMany(s => s).ToArray();
        for (var n = 0; n < good.Length; n++)
        {
            var whole = IldaReader.TryParse(good.AsSpan(0, n), out var file, out var why);
            Assert.True(whole ? file!.Frames.Count > 0 : why.Offset <= n && why.Text.Length > 0);
        }

        var random = new Random(12);
        for (var k = 0; k < 20_000; k++)
        {
            var bytes = (byte[])good.Clone();
            for (var i = random.Next(1, 6); i > 0; i--)
            {
                bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            }

            var ok = IldaReader.TryParse(bytes.AsSpan(0, random.Next(bytes.Length + 1)), out var file, out _);
            Assert.True(!ok || file!.Frames.Sum(f => f.Points.Count) < 200);
        }

        // As many points as a file may announce, and one section more.
        Assert.Contains("4000000 points", Refused([.. Enumerable.Range(0, 62).Select(_ => Section(1, 65_535, new byte[65_535 * 6]))]),
            StringComparison.Ordinal);
    }
}
