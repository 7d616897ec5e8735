using System.Buffers.Binary;
using System.IO.Compression;
using StageView.Rig.Archives;

namespace StageView.Rig.Gdtf;

/// <summary>Writes 8-bit RGB pictures as PNG (ISO/IEC 15948): one IDAT, no filter.</summary>
internal static class PngWriter
{
    public static byte[] Write(int width, int height, ReadOnlySpan<byte> rgb)
    {
        using var file = new MemoryStream();
        file.Write([0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A]);
        Span<byte> head = stackalloc byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head[4..], height);
        (head[8], head[9]) = (8, 2);
        Chunk(file, "IHDR"u8, head);
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            for (var y = 0; y < height; y++)
            {
                zlib.WriteByte(0);
                zlib.Write(rgb.Slice(y * width * 3, width * 3));
            }
        }

        Chunk(file, "IDAT"u8, packed.ToArray());
        Chunk(file, "IEND"u8, []);
        return file.ToArray();
    }

    private static void Chunk(MemoryStream file, ReadOnlySpan<byte> kind, ReadOnlySpan<byte> data)
    {
        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, data.Length);
        file.Write(number);
        file.Write(kind);
        file.Write(data);
        BinaryPrimitives.WriteUInt32BigEndian(number, ~Crc32.Add(Crc32.Add(uint.MaxValue, kind), data));
        file.Write(number);
    }
}
