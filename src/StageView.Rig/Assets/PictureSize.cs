using System.Buffers.Binary;

namespace StageView.Rig.Assets;

/// <summary>How many pixels a picture's file says it has, from its header alone.</summary>
internal static class PictureSize
{
    /// <summary>What a decoder reads at most; counted for files whose header says nothing that is understood.</summary>
    private const long Unknown = 4096 * 4096;

    public static long PixelsOf(ReadOnlySpan<byte> file) => SidesOf(file) is { } s ? Math.Min(Unknown, s.Width * s.Height) : Unknown;

    /// <summary>PNG (ISO/IEC 15948: IHDR is the first chunk) and JPEG (ITU-T T.81: a start-of-frame segment).</summary>
    /// <returns>Pixels across and down; null where the header says nothing that is understood.</returns>
    public static (long Width, long Height)? SidesOf(ReadOnlySpan<byte> file)
    {
        if (file.Length > 24 && file[..4].SequenceEqual((ReadOnlySpan<byte>)[0x89, (byte)'P', (byte)'N', (byte)'G']))
        {
            return (Math.Min(uint.MaxValue >> 1, BinaryPrimitives.ReadUInt32BigEndian(file[16..])),
                Math.Min(uint.MaxValue >> 1, BinaryPrimitives.ReadUInt32BigEndian(file[20..])));
        }

        if (file is [0xFF, 0xD8, ..])
        {
            for (var at = 2; at + 9 < file.Length && file[at] == 0xFF; at += 2 + BinaryPrimitives.ReadUInt16BigEndian(file[(at + 2)..]))
            {
                // Frames are C0 to CF but for tables (C4, CC) and an extension (C8).
                if (file[at + 1] is >= 0xC0 and <= 0xCF and not (0xC4 or 0xC8 or 0xCC))
                {
                    return (BinaryPrimitives.ReadUInt16BigEndian(file[(at + 7)..]), BinaryPrimitives.ReadUInt16BigEndian(file[(at + 5)..]));
                }
            }
        }

        return null;
    }
}
