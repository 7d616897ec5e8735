using System.Buffers.Binary;
using System.Text;

namespace StageView.Light.Cautions.Lasers.Ilda;

/// <summary>Reads ILDA files that nobody vouches for; the layout stands in the README beside this file.</summary>
public static class IldaReader
{
    public const int HeaderLength = 32;

    /// <summary>Points of all frames together.</summary>
    public const int MostPoints = 4_000_000;

    /// <summary>Sections of a file.</summary>
    public const int MostSections = 65_536;

    private const int MostNotes = 16;

    /// <summary>The standard's colours for frames without a palette, 0xRRGGBB (ILDA Image Data Transfer Format, default table of 64).</summary>
    private static readonly int[] Standard =
    [
        0xFF0000, 0xFF1000, 0xFF2000, 0xFF3000, 0xFF4000, 0xFF5000, 0xFF6000, 0xFF7000,
        0xFF8000, 0xFF9000, 0xFFA000, 0xFFB000, 0xFFC000, 0xFFD000, 0xFFE000, 0xFFF000,
        0xFFFF00, 0xE0FF00, 0xC0FF00, 0xA0FF00, 0x80FF00, 0x60FF00, 0x40FF00, 0x20FF00,
        0x00FF00, 0x00FF24, 0x00FF49, 0x00FF6D, 0x00FF92, 0x00FFB6, 0x00FFDB, 0x00FFFF,
        0x00E3FF, 0x00C6FF, 0x00AAFF, 0x008EFF, 0x0071FF, 0x0055FF, 0x0038FF, 0x001CFF,
        0x0000FF, 0x2000FF, 0x4000FF, 0x6000FF, 0x8000FF, 0xA000FF, 0xC000FF, 0xE000FF,
        0xFF00FF, 0xFF20FF, 0xFF40FF, 0xFF60FF, 0xFF80FF, 0xFFA0FF, 0xFFC0FF, 0xFFE0FF,
        0xFFFFFF, 0xFFE0E0, 0xFFC0C0, 0xFFA0A0, 0xFF8080, 0xFF6060, 0xFF4040, 0xFF2020,
    ];

    /// <summary>Reads a file; false with the first fault and its byte.</summary>
    public static bool TryParse(ReadOnlySpan<byte> bytes, out IldaFile? file, out IldaRefusal why)
    {
        file = null;
        why = default;
        var frames = new List<IldaFrame>();
        var notes = new List<string>();
        var palette = Standard;
        var (at, points, ended) = (0, 0, false);
        for (var section = 0; at < bytes.Length && !ended; section++)
        {
            if (section == MostSections)
            {
                why = new IldaRefusal(at, $"more than {MostSections} sections");
                return false;
            }

            if (bytes.Length - at < HeaderLength)
            {
                if (frames.Count > 0 && !bytes[at..].StartsWith("ILDA"u8))
                {
                    Note(notes, $"{bytes.Length - at} bytes after the last section, at byte {at}, were left out");
                    break;
                }

                why = new IldaRefusal(at, $"a header takes {HeaderLength} bytes, {bytes.Length - at} are left");
                return false;
            }

            var header = bytes.Slice(at, HeaderLength);
            if (!header.StartsWith("ILDA"u8))
            {
                why = new IldaRefusal(at, "a section begins with the letters ILDA");
                return false;
            }

            var format = header[7];
            var size = format switch { 0 => 8, 1 => 6, 2 => 3, 4 => 10, 5 => 8, _ => 0 };
            if (size == 0)
            {
                why = new IldaRefusal(at + 7, $"format {format} is not one of 0, 1, 2, 4, 5");
                return false;
            }

            var count = BinaryPrimitives.ReadUInt16BigEndian(header[24..]);
            var body = at + HeaderLength;
            if (bytes.Length - body < count * size)
            {
                why = new IldaRefusal(body, $"{count} records of {size} bytes are announced, {bytes.Length - body} bytes are left");
                return false;
            }

            var records = bytes.Slice(body, count * size);
            if (format == 2)
            {
                if (count is < 2 or > 256)
                {
                    why = new IldaRefusal(at + 24, $"a palette holds 2 to 256 colours, not {count}");
                    return false;
                }

                palette = Palette(records);
            }
            else if (count == 0)
            {
                ended = true;
            }
            else if ((points += count) > MostPoints)
            {
                why = new IldaRefusal(at + 24, $"more than {MostPoints} points");
                return false;
            }
            else
            {
                frames.Add(Frame(header, format, size, records, palette, body, notes));
            }

            at = body + (count * size);
        }

        if (frames.Count == 0)
        {
            why = new IldaRefusal(0, bytes.IsEmpty ? "the file is empty" : "the file holds no frame");
            return false;
        }

        if (!ended)
        {
            Note(notes, "the file ends without the header that ends it");
        }

        file = new IldaFile(frames, notes);
        return true;
    }

    private static IldaFrame Frame(ReadOnlySpan<byte> header, byte format, int size, ReadOnlySpan<byte> records, int[] palette, int offset, List<string> notes)
    {
        var points = new IldaPoint[records.Length / size];
        var beyond = 0;
        for (var i = 0; i < points.Length; i++)
        {
            var r = records.Slice(i * size, size);
            var deep = format is 0 or 4;
            var status = r[deep ? 6 : 4];
            int rgb;
            if (format is 4 or 5)
            {
                rgb = (r[^1] << 16) | (r[^2] << 8) | r[^3];
            }
            else if (r[^1] < palette.Length)
            {
                rgb = palette[r[^1]];
            }
            else
            {
                beyond++;
                rgb = 0xFFFFFF;
            }

            points[i] = new IldaPoint(
                BinaryPrimitives.ReadInt16BigEndian(r),
                BinaryPrimitives.ReadInt16BigEndian(r[2..]),
                deep ? BinaryPrimitives.ReadInt16BigEndian(r[4..]) : (short)0,
                (status & 0x40) != 0,
                rgb);
        }

        if (beyond > 0)
        {
            Note(notes, $"{beyond} points of the frame at byte {offset - HeaderLength} name colours past the palette's {palette.Length}: taken as white");
        }

        return new IldaFrame
        {
            Name = Text(header.Slice(8, 8)),
            Company = Text(header.Slice(16, 8)),
            Number = BinaryPrimitives.ReadUInt16BigEndian(header[26..]),
            Projector = header[30],
            Points = points,
        };
    }

    private static int[] Palette(ReadOnlySpan<byte> records)
    {
        var palette = new int[records.Length / 3];
        for (var i = 0; i < palette.Length; i++)
        {
            palette[i] = (records[3 * i] << 16) | (records[(3 * i) + 1] << 8) | records[(3 * i) + 2];
        }

        return palette;
    }

    private static void Note(List<string> notes, string text)
    {
        if (notes.Count < MostNotes)
        {
            notes.Add(text);
        }
    }

    /// <summary>Printable ASCII up to the first zero; anything else becomes a question mark.</summary>
    private static string Text(ReadOnlySpan<byte> bytes)
    {
        var text = new StringBuilder(8);
        foreach (var b in bytes)
        {
            if (b == 0)
            {
                break;
            }

            text.Append(b is >= 32 and < 127 ? (char)b : '?');
        }

        return text.ToString().Trim();
    }
}
