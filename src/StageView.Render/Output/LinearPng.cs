using System.Buffers.Binary;
using System.Globalization;
using System.IO.Compression;
using System.Text;
using StageView.Ground.Files;

namespace StageView.Render.Output;

/// <summary>
/// 16-bit linear PNG: code 65535 stands for a stated luminance, code 0 for none; negative components become 0, larger ones 65535.
/// </summary>
/// <remarks>
/// PNG third edition (W3C 2025): cICP 11.3.2.6 with primaries 1 (Rec.709), transfer 8 (linear), matrix 0, full range; for older readers gAMA 1.0 and
/// cHRM with the same meaning; the scale in words in two tEXt entries. SkiaSharp can't write these chunks, hence our own writer.
/// </remarks>
public static class LinearPng
{
    /// <summary>Keyword of the tEXt entry that holds the scale as a plain number, cd/m² at code 65535.</summary>
    public const string ScaleKeyword = "CandelaPerSquareMetreAt65535";

    private static readonly uint[] CrcTable = MakeCrcTable();

    /// <param name="image">The picture in cd/m².</param>
    /// <param name="whiteLuminance">cd/m² that code 65535 stands for, above 0; four times the saturation luminance of an exposure keeps two stops of highlights.</param>
    public static byte[] Encode(LinearImage image, float whiteLuminance)
    {
        ArgumentNullException.ThrowIfNull(image);
        if (!(whiteLuminance > 0) || !float.IsFinite(whiteLuminance))
        {
            throw new ArgumentOutOfRangeException(nameof(whiteLuminance), whiteLuminance, "the luminance of code 65535 must be above 0");
        }

        using var png = new MemoryStream();
        png.Write([0x89, (byte)'P', (byte)'N', (byte)'G', 0x0d, 0x0a, 0x1a, 0x0a]);
        Span<byte> header = stackalloc byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, image.Width);
        BinaryPrimitives.WriteInt32BigEndian(header[4..], image.Height);
        (header[8], header[9]) = (16, 2);
        Chunk(png, "IHDR", header);
        Chunk(png, "cICP", [1, 8, 0, 1]);
        Chunk(png, "gAMA", Integers(100000));
        Chunk(png, "cHRM", Integers(31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000));
        var scale = whiteLuminance.ToString("R", CultureInfo.InvariantCulture);
        Chunk(png, "tEXt", Encoding.Latin1.GetBytes($"{ScaleKeyword}\0{scale}"));
        Chunk(png, "tEXt", Encoding.Latin1.GetBytes($"Comment\0Linear Rec.709 light: luminance in cd/m2 = code / 65535 x {scale}"));
        Chunk(png, "IDAT", Rows(image, 65535f / whiteLuminance));
        Chunk(png, "IEND", []);
        return png.ToArray();
    }

    public static void Write(string path, LinearImage image, float whiteLuminance) => WholeFile.Write(path, Encode(image, whiteLuminance));

    // Filter 2 (Up) on every row: dark stages repeat from row to row.
    private static byte[] Rows(LinearImage image, float codesPerCandela)
    {
        var stride = image.Width * 6;
        var (above, row, line) = (new byte[stride], new byte[stride], new byte[stride + 1]);
        using var packed = new MemoryStream();
        using (var deflate = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            line[0] = 2;
            for (var y = 0; y < image.Height; y++)
            {
                var from = image.Rgb.AsSpan(y * image.Width * 3, image.Width * 3);
                for (var i = 0; i < from.Length; i++)
                {
                    var code = (from[i] * codesPerCandela) + 0.5f;
                    BinaryPrimitives.WriteUInt16BigEndian(row.AsSpan(i * 2), code >= 65535 ? (ushort)65535 : code > 0 ? (ushort)code : (ushort)0);
                }

                for (var i = 0; i < stride; i++)
                {
                    line[i + 1] = (byte)(row[i] - above[i]);
                }

                deflate.Write(line);
                (above, row) = (row, above);
            }
        }

        return packed.ToArray();
    }

    private static byte[] Integers(params ReadOnlySpan<int> values)
    {
        var bytes = new byte[values.Length * 4];
        for (var i = 0; i < values.Length; i++)
        {
            BinaryPrimitives.WriteInt32BigEndian(bytes.AsSpan(i * 4), values[i]);
        }

        return bytes;
    }

    // Length, type, data, CRC-32 over type and data (PNG 5.3).
    private static void Chunk(MemoryStream png, string type, ReadOnlySpan<byte> data)
    {
        Span<byte> four = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(four, data.Length);
        png.Write(four);
        Span<byte> name = stackalloc byte[4];
        Encoding.ASCII.GetBytes(type, name);
        png.Write(name);
        png.Write(data);
        BinaryPrimitives.WriteUInt32BigEndian(four, ~Crc(Crc(0xffffffff, name), data));
        png.Write(four);
    }

    private static uint Crc(uint crc, ReadOnlySpan<byte> bytes)
    {
        foreach (var b in bytes)
        {
            crc = CrcTable[(byte)(crc ^ b)] ^ (crc >> 8);
        }

        return crc;
    }

    private static uint[] MakeCrcTable()
    {
        var table = new uint[256];
        for (var n = 0u; n < 256; n++)
        {
            var c = n;
            for (var k = 0; k < 8; k++)
            {
                c = (c & 1) != 0 ? 0xedb88320 ^ (c >> 1) : c >> 1;
            }

            table[n] = c;
        }

        return table;
    }
}
