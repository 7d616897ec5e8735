using System.Buffers.Binary;
using System.IO.Compression;
using System.Runtime.InteropServices;
using System.Security.Cryptography;

namespace StageView.Snapshot;

/// <summary>Writes small PNG files that carry their pixel hash.</summary>
internal static class PngWriter
{
    public static byte[] Write(FrameImage image, PixelHash hash, CompressionLevel level = CompressionLevel.SmallestSize)
    {
        var (colour, palette, transparency, packed) = Pack(image, level);
        Span<byte> header = stackalloc byte[13];
        BinaryPrimitives.WriteInt32BigEndian(header, image.Width);
        BinaryPrimitives.WriteInt32BigEndian(header[4..], image.Height);
        (header[8], header[9]) = (8, (byte)colour);

        using var sha = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        sha.AppendData(header);
        sha.AppendData(palette);
        sha.AppendData(transparency);
        sha.AppendData(packed);

        using var file = new MemoryStream(packed.Length + 2048);
        file.Write(PngFormat.Signature);
        PngChunk.Write(file, PngFormat.Header, header);
        PngChunk.Write(file, PngFormat.Stamp, [.. hash.ToBytes(), .. sha.GetHashAndReset()]);
        if (palette.Length > 0)
        {
            PngChunk.Write(file, PngFormat.Palette, palette);
        }

        if (transparency.Length > 0)
        {
            PngChunk.Write(file, PngFormat.Transparency, transparency);
        }

        PngChunk.Write(file, PngFormat.Data, packed);
        PngChunk.Write(file, PngFormat.End, []);
        return file.ToArray();
    }

    private static (int Colour, byte[] Palette, byte[] Transparency, byte[] Packed) Pack(FrameImage image, CompressionLevel level)
    {
        var pixels = MemoryMarshal.Cast<byte, uint>(image.Rgba.AsSpan());
        if (TryPalette(pixels, out var colours))
        {
            var indices = new byte[pixels.Length];
            for (var i = 0; i < pixels.Length; i++)
            {
                indices[i] = i > 0 && pixels[i] == pixels[i - 1] ? indices[i - 1] : colours[pixels[i]];
            }

            var palette = new byte[3 * colours.Count];
            var alphas = new byte[colours.Count];
            foreach (var (value, index) in colours)
            {
                (palette[3 * index], palette[(3 * index) + 1], palette[(3 * index) + 2], alphas[index]) =
                    ((byte)value, (byte)(value >> 8), (byte)(value >> 16), (byte)(value >> 24));
            }

            var opaque = Array.TrueForAll(alphas, a => a == 255);
            return (PngFormat.PaletteColour, palette, opaque ? [] : alphas, Squeeze(indices, image.Width, image.Height, 1, level));
        }

        foreach (var pixel in pixels)
        {
            if (pixel < 0xFF00_0000u)
            {
                return (PngFormat.TrueColourAlpha, [], [], Squeeze(image.Rgba, 4 * image.Width, image.Height, 4, level));
            }
        }

        var rgb = GC.AllocateUninitializedArray<byte>(3 * pixels.Length);
        for (int i = 0, o = 0; i < pixels.Length; i++, o += 3)
        {
            (rgb[o], rgb[o + 1], rgb[o + 2]) = ((byte)pixels[i], (byte)(pixels[i] >> 8), (byte)(pixels[i] >> 16));
        }

        return (PngFormat.TrueColour, [], [], Squeeze(rgb, 3 * image.Width, image.Height, 3, level));
    }

    private static bool TryPalette(ReadOnlySpan<uint> pixels, out Dictionary<uint, byte> colours)
    {
        colours = [];
        var last = ~pixels[0];
        foreach (var pixel in pixels)
        {
            if (pixel != last && !colours.ContainsKey(pixel))
            {
                if (colours.Count == 256)
                {
                    return false;
                }

                colours.Add(pixel, (byte)colours.Count);
            }

            last = pixel;
        }

        return true;
    }

    private static byte[] Squeeze(byte[] samples, int rowBytes, int height, int step, CompressionLevel level)
    {
        using var packed = new MemoryStream();
        using (var stream = new ZLibStream(packed, level, leaveOpen: true))
        {
            var above = new byte[rowBytes];
            var line = new byte[rowBytes + 1];
            var best = new byte[rowBytes + 1];
            for (var y = 0; y < height; y++)
            {
                var row = samples.AsSpan(y * rowBytes, rowBytes);
                var bestCost = long.MaxValue;
                // A palette's indices have no slope to predict (clause 12.7): left as they are.
                for (var filter = PngFilters.None; filter <= (step == 1 ? PngFilters.None : PngFilters.Paeth); filter++)
                {
                    var cost = PngFilterChoice.Apply(filter, row, above, step, line, bestCost);
                    if (cost < bestCost)
                    {
                        (bestCost, best, line) = (cost, line, best);
                    }
                }

                stream.Write(best);
                row.CopyTo(above);
            }
        }

        return packed.ToArray();
    }
}
