using System.Buffers.Binary;
using System.Globalization;
using System.IO.Compression;
using System.Text;
using StageView.Ground.Files;
using StageView.Ground.Png;

namespace StageView.Render.Output;

/// <summary>
/// 16-bit linear PNG: code 65535 stands for a stated luminance, code 0 for none; negative components become 0, larger ones 65535.
/// </summary>
/// <remarks>
/// PNG third edition (W3C 2025): cICP 11.3.2.6 with primaries 1 (Rec.709), transfer 8 (linear), matrix 0, full range; for older readers gAMA 1.0 and
/// cHRM with the same meaning; the scale in words in two tEXt entries. SkiaSharp can't write these chunks, hence our own.
/// </remarks>
public static class LinearPng
{
    /// <summary>Keyword of the tEXt entry that holds the scale as a plain number, cd/m² at code 65535.</summary>
    public const string ScaleKeyword = "CandelaPerSquareMetreAt65535";

    /// <param name="image">The picture in cd/m².</param>
    /// <param name="whiteLuminance">cd/m² that code 65535 stands for, above 0; four times the saturation luminance of an exposure keeps two stops of
    /// highlights.</param>
    public static byte[] Encode(LinearImage image, float whiteLuminance)
    {
        ArgumentNullException.ThrowIfNull(image);
        if (!(whiteLuminance > 0) || !float.IsFinite(whiteLuminance))
        {
            throw new ArgumentOutOfRangeException(nameof(whiteLuminance), whiteLuminance, "the luminance of code 65535 must be above 0");
        }

        using var png = new MemoryStream();
        png.Write(PngChunks.Signature);
        PngChunks.WriteHeader(png, image.Width, image.Height, 16, 2);
        PngChunks.Write(png, "cICP"u8, [1, 8, 0, 1]);
        PngChunks.Write(png, "gAMA"u8, Integers(100000));
        PngChunks.Write(png, "cHRM"u8, Integers(31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000));
        var scale = whiteLuminance.ToString("R", CultureInfo.InvariantCulture);
        PngChunks.Write(png, "tEXt"u8, Encoding.Latin1.GetBytes($"{ScaleKeyword}\0{scale}"));
        PngChunks.Write(png, "tEXt"u8, Encoding.Latin1.GetBytes($"Comment\0Linear Rec.709 light: luminance in cd/m2 = code / 65535 x {scale}"));
        PngChunks.Write(png, "IDAT"u8, Rows(image, 65535f / whiteLuminance));
        PngChunks.Write(png, "IEND"u8, []);
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
}
