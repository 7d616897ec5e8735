using System.Buffers.Binary;
using System.IO.Compression;
using StageView.Ground.Png;

namespace StageView.Snapshot.Images.Png;

/// <summary>Samples of PNG files of 16 bits a channel, RGB or RGBA, not interlaced: what the 8-bit comparison does not see.</summary>
internal static class DeepPng
{
    /// <summary>The largest difference of a sample, of 65535; null where either can't be read so, or they are of different kinds.</summary>
    public static int? LargestDifference(byte[] a, byte[] b)
    {
        if (Samples(a) is not { } x || Samples(b) is not { } y || x.Length != y.Length)
        {
            return null;
        }

        var largest = 0;
        for (var i = 0; i < x.Length; i += 2)
        {
            largest = Math.Max(largest, Math.Abs(BinaryPrimitives.ReadUInt16BigEndian(x.AsSpan(i)) - BinaryPrimitives.ReadUInt16BigEndian(y.AsSpan(i))));
        }

        return largest;
    }

    /// <summary>All rows behind each other, big-endian samples.</summary>
    private static byte[]? Samples(byte[] file)
    {
        var (width, height, channels) = (0, 0, 0);
        using var packed = new MemoryStream();
        ReadOnlySpan<byte> rest = file.AsSpan(PngChunks.Signature.Length);
        while (PngChunks.TryNext(ref rest, out var type, out var body) && type != PngFormat.End)
        {
            if (type == PngFormat.Header)
            {
                (width, height) = (BinaryPrimitives.ReadInt32BigEndian(body), BinaryPrimitives.ReadInt32BigEndian(body[4..]));
                channels = body is [_, _, _, _, _, _, _, _, 16, 2 or 6, 0, 0, 0] && FrameImage.IsValidSize(width, height) ? (body[9] == 6 ? 4 : 3) : 0;
            }
            else if (type == PngFormat.Data)
            {
                packed.Write(body);
            }
        }

        if (channels == 0)
        {
            return null;
        }

        var (pixel, stride) = (2 * channels, 2 * channels * width);
        var rows = new byte[(long)stride * height];
        var none = new byte[stride];
        packed.Position = 0;
        try
        {
            using var inflated = new ZLibStream(packed, CompressionMode.Decompress);
            for (var y = 0; y < height; y++)
            {
                var filter = inflated.ReadByte();
                var row = rows.AsSpan(y * stride, stride);
                inflated.ReadExactly(row);
                if (!TryUndo(filter, row, y == 0 ? none : rows.AsSpan((y - 1) * stride, stride), pixel))
                {
                    return null;
                }
            }
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException)
        {
            return null;
        }

        return rows;
    }

    /// <summary>Clause 9: each byte is told beside those of the pixel to its left, above it, and above left.</summary>
    private static bool TryUndo(int filter, Span<byte> row, ReadOnlySpan<byte> above, int pixel)
    {
        for (var i = 0; i < row.Length && filter is > 0 and < 5; i++)
        {
            int left = i < pixel ? 0 : row[i - pixel], up = above[i], corner = i < pixel ? 0 : above[i - pixel];
            row[i] += (byte)(filter switch { 1 => left, 2 => up, 3 => (left + up) / 2, _ => Nearest(left, up, corner) });
        }

        return filter is >= 0 and < 5;
    }

    private static int Nearest(int left, int up, int corner)
    {
        var (a, b, c) = (Math.Abs(up - corner), Math.Abs(left - corner), Math.Abs(left + up - (2 * corner)));
        return a <= b && a <= c ? left : b <= c ? up : corner;
    }
}
