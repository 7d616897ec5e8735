namespace StageView.Snapshot.Images.Png;

/// <summary>The check of a PNG chunk (annex D: polynomial 0xEDB88320 reflected, start and end inverted), for the few bytes of a stamp.</summary>
internal static class Crc32
{
    public static uint Of(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b) => ~Add(Add(0xFFFF_FFFF, a), b);

    private static uint Add(uint crc, ReadOnlySpan<byte> bytes)
    {
        foreach (var value in bytes)
        {
            crc ^= value;
            for (var k = 0; k < 8; k++)
            {
                crc = (crc & 1) != 0 ? 0xEDB8_8320 ^ (crc >> 1) : crc >> 1;
            }
        }

        return crc;
    }
}
