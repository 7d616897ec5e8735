using System.Buffers.Binary;
using System.IO.Compression;
using System.IO.Hashing;

namespace StageView.Ground.Png;

/// <summary>The datastream of PNG (ISO/IEC 15948; W3C, third edition): signature and chunks, written and walked. Clause numbers are of the latter.</summary>
public static class PngChunks
{
    /// <summary>Clause 5.2.</summary>
    public static ReadOnlySpan<byte> Signature => [0x89, 0x50, 0x4E, 0x47, 0x0D, 0x0A, 0x1A, 0x0A];

    /// <summary>A chunk: length, type, body, CRC-32 over type and body, numbers big-endian (clause 5.3).</summary>
    /// <param name="to">Where it goes.</param>
    /// <param name="type">Four letters.</param>
    /// <param name="body">Its data.</param>
    /// <exception cref="ArgumentException">The type is not of four bytes.</exception>
    public static void Write(Stream to, ReadOnlySpan<byte> type, ReadOnlySpan<byte> body)
    {
        ArgumentNullException.ThrowIfNull(to);
        if (type.Length != 4)
        {
            throw new ArgumentException("the type of a chunk is of four bytes", nameof(type));
        }

        Span<byte> number = stackalloc byte[4];
        BinaryPrimitives.WriteInt32BigEndian(number, body.Length);
        to.Write(number);
        to.Write(type);
        to.Write(body);
        BinaryPrimitives.WriteUInt32BigEndian(number, Check(type, body));
        to.Write(number);
    }

    /// <summary>The image header (clause 11.2.1) of a picture without interlace.</summary>
    /// <param name="to">Where it goes.</param>
    /// <param name="width">Pixels.</param>
    /// <param name="height">Pixels.</param>
    /// <param name="depth">Bits a sample: 8 or 16.</param>
    /// <param name="colour">Colour type: 2 is RGB, 6 RGBA.</param>
    public static void WriteHeader(Stream to, int width, int height, byte depth, byte colour)
    {
        Span<byte> head = stackalloc byte[13];
        BinaryPrimitives.WriteInt32BigEndian(head, width);
        BinaryPrimitives.WriteInt32BigEndian(head[4..], height);
        (head[8], head[9]) = (depth, colour);
        Write(to, "IHDR"u8, head);
    }

    /// <summary>Takes the next whole chunk off <paramref name="rest"/>; its check is not looked at.</summary>
    /// <param name="rest">What is left of the file, behind its signature.</param>
    /// <param name="type">The four letters as a big-endian number.</param>
    /// <param name="body">Its data.</param>
    public static bool TryNext(ref ReadOnlySpan<byte> rest, out uint type, out ReadOnlySpan<byte> body)
    {
        type = 0;
        body = default;
        if (rest.Length < 12)
        {
            return false;
        }

        var length = BinaryPrimitives.ReadUInt32BigEndian(rest);
        if (length > (uint)(rest.Length - 12))
        {
            return false;
        }

        type = BinaryPrimitives.ReadUInt32BigEndian(rest[4..]);
        body = rest.Slice(8, (int)length);
        rest = rest[(12 + (int)length)..];
        return true;
    }

    /// <summary>CRC-32 over type and body (annex D).</summary>
    public static uint Check(ReadOnlySpan<byte> type, ReadOnlySpan<byte> body)
    {
        var crc = new Crc32();
        crc.Append(type);
        crc.Append(body);
        return crc.GetCurrentHashAsUInt32();
    }

    /// <summary>A whole file of 8-bit RGB: one IDAT, no filter.</summary>
    /// <param name="width">Pixels.</param>
    /// <param name="height">Pixels.</param>
    /// <param name="rgb">Rows from the top, three bytes a pixel.</param>
    public static byte[] Rgb(int width, int height, ReadOnlySpan<byte> rgb)
    {
        using var file = new MemoryStream();
        file.Write(Signature);
        WriteHeader(file, width, height, 8, 2);
        using var packed = new MemoryStream();
        using (var zlib = new ZLibStream(packed, CompressionLevel.Optimal, leaveOpen: true))
        {
            for (var y = 0; y < height; y++)
            {
                zlib.WriteByte(0);
                zlib.Write(rgb.Slice(y * width * 3, width * 3));
            }
        }

        Write(file, "IDAT"u8, packed.GetBuffer().AsSpan(0, (int)packed.Length));
        Write(file, "IEND"u8, []);
        return file.ToArray();
    }
}
