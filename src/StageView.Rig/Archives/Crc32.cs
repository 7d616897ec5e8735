namespace StageView.Rig.Archives;

/// <summary>The CRC of zip files (ISO 3309, reflected polynomial 0xEDB88320). Start with all ones, complement at the end.</summary>
internal static class Crc32
{
    private static readonly uint[] Table = [.. Enumerable.Range(0, 256).Select(i =>
    {
        var c = (uint)i;
        for (var k = 0; k < 8; k++)
        {
            c = (c & 1) != 0 ? 0xEDB88320 ^ (c >> 1) : c >> 1;
        }

        return c;
    })];

    public static uint Add(uint crc, ReadOnlySpan<byte> bytes)
    {
        foreach (var b in bytes)
        {
            crc = Table[(crc ^ b) & 255] ^ (crc >> 8);
        }

        return crc;
    }
}
