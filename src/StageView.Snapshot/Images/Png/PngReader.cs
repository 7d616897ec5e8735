using System.Buffers.Binary;
using System.IO.Compression;

namespace StageView.Snapshot;

/// <summary>Reads 8-bit, not interlaced PNG; says no to the rest, which SkiaSharp then reads.</summary>
internal static class PngReader
{
    /// <summary>Decodes a whole file held in memory.</summary>
    /// <returns>False when the file is of a kind not read here or is damaged; <paramref name="why"/> says which.</returns>
    public static bool TryRead(byte[] file, out FrameImage? image, out string why)
    {
        image = null;
        if (!TryPlan(file, out var plan, out why))
        {
            return false;
        }

        try
        {
            image = Decode(file, plan);
            return true;
        }
        catch (Exception e) when (e is InvalidDataException or EndOfStreamException)
        {
            why = "its picture data is damaged or cut short";
            return false;
        }
    }

    private static bool TryPlan(ReadOnlySpan<byte> file, out PngPlan plan, out string why)
    {
        plan = new PngPlan();
        why = "it is no PNG";
        if (!file.StartsWith(PngFormat.Signature))
        {
            return false;
        }

        var rest = file[PngFormat.Signature.Length..];
        while (PngChunk.TryNext(ref rest, out var type, out var body))
        {
            var at = file.Length - rest.Length - 4 - body.Length;
            switch (type)
            {
                case PngFormat.Header when body.Length == 13:
                    plan.Width = BinaryPrimitives.ReadInt32BigEndian(body);
                    plan.Height = BinaryPrimitives.ReadInt32BigEndian(body[4..]);
                    (plan.Depth, plan.Colour) = (body[8], body[9]);
                    if (!FrameImage.IsValidSize(plan.Width, plan.Height))
                    {
                        why = $"{plan.Width}x{plan.Height} pixels is more than the {FrameImage.MaxSide} a side or {FrameImage.MaxPixels} in all that are read";
                        return false;
                    }

                    if (body[12] != 0 || PngFormat.Samples(plan.Colour) == 0
                        || !(plan.Depth == 8 || (plan.Colour == PngFormat.PaletteColour && plan.Depth is 1 or 2 or 4)))
                    {
                        why = "its kind of PNG is not read here";
                        return false;
                    }

                    break;
                case PngFormat.Palette:
                    plan.Palette = body.ToArray();
                    break;
                case PngFormat.Transparency:
                    plan.Transparency = body.ToArray();
                    break;
                case PngFormat.Data:
                    plan.Data.Add((at, body.Length));
                    break;
                case PngFormat.End:
                    rest = default;
                    break;
            }
        }

        why = "it has no picture data";
        return plan.Width > 0 && plan.Data.Count > 0 && (plan.Colour != PngFormat.PaletteColour || plan.Palette.Length >= 3);
    }

    private static FrameImage Decode(byte[] file, PngPlan plan)
    {
        var samples = PngFormat.Samples(plan.Colour);
        var rowBytes = ((plan.Width * samples * plan.Depth) + 7) / 8;
        var rgba = GC.AllocateUninitializedArray<byte>(4 * plan.Width * plan.Height);
        using var packed = new SpanStream(file, plan.Data);
        using var stream = new ZLibStream(packed, CompressionMode.Decompress);
        // Rows are taken in batches: one call into the unpacker a batch, small enough to stay in the cache.
        var batch = Math.Clamp(128 * 1024 / (rowBytes + 1), 1, plan.Height);
        var rows = GC.AllocateUninitializedArray<byte>(batch * (rowBytes + 1));
        var above = new byte[rowBytes];
        var spread = new PngSpread(plan);
        for (var y = 0; y < plan.Height; y += batch)
        {
            var count = Math.Min(batch, plan.Height - y);
            stream.ReadExactly(rows, 0, count * (rowBytes + 1));
            for (var i = 0; i < count; i++)
            {
                var filter = rows[i * (rowBytes + 1)];
                if (filter > PngFilters.Paeth)
                {
                    throw new InvalidDataException("unknown filter");
                }

                var row = rows.AsSpan((i * (rowBytes + 1)) + 1, rowBytes);
                var before = i == 0 ? above : rows.AsSpan(((i - 1) * (rowBytes + 1)) + 1, rowBytes);
                PngFilters.Undo(filter, row, before, Math.Max(1, samples * plan.Depth / 8));
                spread.Row(row, rgba.AsSpan(4 * plan.Width * (y + i), 4 * plan.Width));
            }

            rows.AsSpan(((count - 1) * (rowBytes + 1)) + 1, rowBytes).CopyTo(above);
        }

        return new FrameImage(plan.Width, plan.Height, rgba);
    }
}
