using System.Buffers.Binary;
using System.IO.Compression;
using System.Text;
using StageView.Ground.Files;

namespace StageView.Render.Output;

/// <summary>
/// OpenEXR: one part, scan lines, channels B, G, R, ZIP compression in blocks of 16 lines. Linear Rec.709 in cd/m², said by the
/// standard attributes <c>chromaticities</c> and <c>whiteLuminance</c> (1: the value 1 is 1 cd/m²).
/// </summary>
/// <remarks>Layout: "OpenEXR File Layout" and "Technical Introduction to OpenEXR" (openexr.com), version 2 single-part files.</remarks>
public static class ExrPicture
{
    private const int LinesPerBlock = 16;
    private const float LargestHalf = 65504f;

    public static byte[] Encode(LinearImage image, ExrPixelType type = ExrPixelType.Bits32)
    {
        ArgumentNullException.ThrowIfNull(image);
        using var exr = new MemoryStream();
        using var w = new BinaryWriter(exr, Encoding.Latin1);
        w.Write(20000630); // magic number
        w.Write(2);        // version 2, no flags
        Header(w, image, type);

        var blocks = (image.Height + LinesPerBlock - 1) / LinesPerBlock;
        var packed = new byte[blocks][];
        Parallel.For(0, blocks, b => packed[b] = Block(image, type, b * LinesPerBlock));

        var offset = exr.Position + (blocks * 8L);
        foreach (var block in packed)
        {
            w.Write(offset);
            offset += 8 + block.Length;
        }

        for (var b = 0; b < blocks; b++)
        {
            w.Write(b * LinesPerBlock);
            w.Write(packed[b].Length);
            w.Write(packed[b]);
        }

        w.Flush();
        return exr.ToArray();
    }

    public static void Write(string path, LinearImage image, ExrPixelType type = ExrPixelType.Bits32) => WholeFile.Write(path, Encode(image, type));

    private static void Header(BinaryWriter w, LinearImage image, ExrPixelType type)
    {
        // Channel: name, pixel type, pLinear and 3 reserved bytes, x and y sampling; sorted by name; a null byte ends the list.
        Attribute(w, "channels", "chlist", (3 * (2 + 16)) + 1);
        foreach (var name in "BGR")
        {
            w.Write((byte)name);
            w.Write((byte)0);
            w.Write((int)type);
            w.Write(0);
            w.Write(1);
            w.Write(1);
        }

        w.Write((byte)0);
        Attribute(w, "chromaticities", "chromaticities", 32);
        foreach (var v in new[] { 0.64f, 0.33f, 0.30f, 0.60f, 0.15f, 0.06f, 0.3127f, 0.3290f })
        {
            w.Write(v);
        }

        Text(w, "comments", "Linear light, Rec.709 primaries, D65. Values are cd/m2.");
        Attribute(w, "compression", "compression", 1);
        w.Write((byte)3); // ZIP_COMPRESSION
        foreach (var window in new[] { "dataWindow", "displayWindow" })
        {
            Attribute(w, window, "box2i", 16);
            w.Write(0);
            w.Write(0);
            w.Write(image.Width - 1);
            w.Write(image.Height - 1);
        }

        Attribute(w, "lineOrder", "lineOrder", 1);
        w.Write((byte)0); // INCREASING_Y
        Float(w, "pixelAspectRatio", 1);
        Attribute(w, "screenWindowCenter", "v2f", 8);
        w.Write(0f);
        w.Write(0f);
        Float(w, "screenWindowWidth", 1);
        Float(w, "whiteLuminance", 1);
        w.Write((byte)0);
    }

    private static void Float(BinaryWriter w, string name, float value)
    {
        Attribute(w, name, "float", 4);
        w.Write(value);
    }

    private static void Text(BinaryWriter w, string name, string value)
    {
        Attribute(w, name, "string", value.Length);
        w.Write(value.AsSpan());
    }

    private static void Attribute(BinaryWriter w, string name, string type, int size)
    {
        w.Write(name.AsSpan());
        w.Write((byte)0);
        w.Write(type.AsSpan());
        w.Write((byte)0);
        w.Write(size);
    }

    /// <summary>Lines from <paramref name="firstLine"/>, each as all B, all G, all R; then the ZIP method's byte split, delta and deflate.</summary>
    private static byte[] Block(LinearImage image, ExrPixelType type, int firstLine)
    {
        var lines = Math.Min(LinesPerBlock, image.Height - firstLine);
        var size = type == ExrPixelType.Bits16 ? 2 : 4;
        var raw = new byte[lines * image.Width * 3 * size];
        var at = 0;
        for (var y = firstLine; y < firstLine + lines; y++)
        {
            var row = image.Rgb.AsSpan(y * image.Width * 3, image.Width * 3);
            for (var channel = 2; channel >= 0; channel--)
            {
                for (var i = channel; i < row.Length; i += 3, at += size)
                {
                    if (type == ExrPixelType.Bits16)
                    {
                        BinaryPrimitives.WriteHalfLittleEndian(raw.AsSpan(at), (Half)Math.Clamp(row[i], -LargestHalf, LargestHalf));
                    }
                    else
                    {
                        BinaryPrimitives.WriteSingleLittleEndian(raw.AsSpan(at), row[i]);
                    }
                }
            }
        }

        // Even bytes first, odd bytes after; then each byte as its difference to the one before, plus 128.
        var split = new byte[raw.Length];
        var half = (raw.Length + 1) / 2;
        for (var i = 0; i < raw.Length; i++)
        {
            split[((i & 1) == 0 ? 0 : half) + (i / 2)] = raw[i];
        }

        for (var i = split.Length - 1; i > 0; i--)
        {
            split[i] = (byte)(split[i] - split[i - 1] + 128);
        }

        using var packed = new MemoryStream();
        using (var deflate = new ZLibStream(packed, CompressionLevel.Fastest, leaveOpen: true))
        {
            deflate.Write(split);
        }

        // A block that does not shrink is stored raw: readers tell by its size.
        return packed.Length < raw.Length ? packed.ToArray() : raw;
    }
}
