using System.Buffers.Binary;
using System.IO.Compression;
using System.Runtime.InteropServices;
using System.Runtime.Intrinsics;
using StageView.Ground.Png;

namespace StageView.Snapshot.Images.Png;

/// <summary>
/// Decodes the PNG files that renderers write: 8 bits a channel, RGB or RGBA, not interlaced, no transparent colour. Everything else, and
/// everything that doesn't hold together, is left to the library by answering no.
/// </summary>
/// <remarks>PNG (ISO/IEC 15948), clauses 9 (filters) and 10 (deflate, whose checksum of the pixels is verified). Half of the library's time at
/// 1920x1080.</remarks>
internal static class PngReader
{
    private const int ChunkBytes = 192 * 1024;
    private const int Rgb = 2;
    private const int Rgba = 6;

    public static FrameImage? TryDecode(byte[] file)
    {
        if (!file.AsSpan().StartsWith(PngChunks.Signature))
        {
            return null;
        }

        var (width, height, colour) = (0, 0, 0);
        var parts = new List<(int From, int Length)>();
        var rest = file.AsSpan(PngChunks.Signature.Length);
        ReadOnlySpan<byte> left = rest;
        while (PngChunks.TryNext(ref left, out var type, out var body) && type != PngFormat.End)
        {
            switch (type)
            {
                case PngFormat.Header:
                    if (!TryHeader(body, out width, out height, out colour))
                    {
                        return null;
                    }

                    break;
                case PngFormat.Transparency:
                    return null;
                case PngFormat.Data:
                    parts.Add((file.Length - left.Length - 4 - body.Length, body.Length));
                    break;
                default:
                    break;
            }
        }

        return width == 0 || parts.Count == 0 ? null : TryPixels(file, parts, width, height, colour == Rgba ? 4 : 3);
    }

    private static bool TryHeader(ReadOnlySpan<byte> body, out int width, out int height, out int colour)
    {
        (width, height, colour) = (0, 0, 0);
        if (body.Length != 13 || body[8] != 8 || body[9] is not (Rgb or Rgba) || body[10] != 0 || body[11] != 0 || body[12] != 0)
        {
            return false;
        }

        (width, height, colour) = (BinaryPrimitives.ReadInt32BigEndian(body), BinaryPrimitives.ReadInt32BigEndian(body[4..]), body[9]);
        return FrameImage.IsValidSize(width, height);
    }

    private static FrameImage? TryPixels(byte[] file, List<(int From, int Length)> parts, int width, int height, int channels)
    {
        var stride = 1 + (width * channels);
        var rowsAtOnce = Math.Clamp(ChunkBytes / stride, 1, height);
        // Sixteen bytes are read at a time: the last row may reach past its end.
        var packed = new byte[(rowsAtOnce * stride) + 16];
        var rgba = FrameBuffers.Rent(4 * width * height);
        var pixels = MemoryMarshal.Cast<byte, uint>(rgba.AsSpan());
        var above = (ReadOnlySpan<uint>)new uint[width];
        var alpha = channels == 3 ? 0xFF00_0000u : 0;
        try
        {
            using var inflated = new ZLibStream(new PartStream(file, parts), CompressionMode.Decompress);
            for (var y = 0; y < height; y++)
            {
                var k = y % rowsAtOnce;
                if (k == 0)
                {
                    inflated.ReadExactly(packed.AsSpan(0, Math.Min(rowsAtOnce, height - y) * stride));
                }

                var row = pixels.Slice(y * width, width);
                Spread(packed.AsSpan(k * stride), channels, row);
                if (!PngFilters.TryUndo(packed[k * stride], row, above, alpha))
                {
                    break;
                }

                above = row;
                if (y == height - 1 && inflated.ReadByte() < 0)
                {
                    return new FrameImage(width, height, rgba);
                }
            }
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException)
        {
            // The library finds words for what is wrong with it.
        }

        FrameBuffers.Return(rgba);
        return null;
    }

    /// <summary>The bytes of a row behind its filter byte as four-byte pixels, still filtered.</summary>
    private static void Spread(ReadOnlySpan<byte> packed, int channels, Span<uint> row)
    {
        packed = packed[1..];
        if (channels == 4)
        {
            MemoryMarshal.Cast<byte, uint>(packed[..(4 * row.Length)]).CopyTo(row);
            return;
        }

        const byte none = 255;
        var order = Vector128.Create(0, 1, 2, none, 3, 4, 5, none, 6, 7, 8, none, 9, 10, 11, none);
        var i = 0;
        for (; i + 4 <= row.Length && (3 * i) + 16 <= packed.Length; i += 4)
        {
            Vector128.Shuffle(Vector128.LoadUnsafe(ref MemoryMarshal.GetReference(packed), (nuint)(3 * i)), order).AsUInt32().CopyTo(row[i..]);
        }

        for (; i < row.Length; i++)
        {
            row[i] = packed[3 * i] | ((uint)packed[(3 * i) + 1] << 8) | ((uint)packed[(3 * i) + 2] << 16);
        }
    }

    /// <summary>Pieces of an array, one behind the other.</summary>
    private sealed class PartStream(byte[] file, List<(int From, int Length)> parts) : Stream
    {
        private int _part;
        private int _at;

        public override bool CanRead => true;

        public override bool CanSeek => false;

        public override bool CanWrite => false;

        public override long Length => throw new NotSupportedException();

        public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

        public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

        public override int Read(Span<byte> buffer)
        {
            while (_part < parts.Count)
            {
                var (from, length) = parts[_part];
                var n = Math.Min(length - _at, buffer.Length);
                if (n > 0)
                {
                    file.AsSpan(from + _at, n).CopyTo(buffer);
                    _at += n;
                    return n;
                }

                if (_at < length)
                {
                    return 0;
                }

                (_part, _at) = (_part + 1, 0);
            }

            return 0;
        }

        public override void Flush()
        {
        }

        public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

        public override void SetLength(long value) => throw new NotSupportedException();

        public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
    }
}
