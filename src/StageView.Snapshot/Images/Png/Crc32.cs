namespace StageView.Snapshot;

/// <summary>The chunk check of PNG (annex D: polynomial 0xEDB88320 reflected, start and end inverted), eight bytes a step.</summary>
internal static class Crc32
{
    private static readonly uint[] _table = Make();

    public static uint Of(ReadOnlySpan<byte> a, ReadOnlySpan<byte> b = default) => ~Add(Add(0xFFFF_FFFF, a), b);

    private static uint Add(uint crc, ReadOnlySpan<byte> bytes)
    {
        var t = _table;
        while (bytes.Length >= 8)
        {
            var lo = System.Buffers.Binary.BinaryPrimitives.ReadUInt32LittleEndian(bytes) ^ crc;
            var hi = System.Buffers.Binary.BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]);
            crc = t[0x700 + (lo & 0xFF)] ^ t[0x600 + ((lo >> 8) & 0xFF)] ^ t[0x500 + ((lo >> 16) & 0xFF)] ^ t[0x400 + (lo >> 24)]
                ^ t[0x300 + (hi & 0xFF)] ^ t[0x200 + ((hi >> 8) & 0xFF)] ^ t[0x100 + ((hi >> 16) & 0xFF)] ^ t[hi >> 24];
            bytes = bytes[8..];
        }

        foreach (var value in bytes)
        {
            crc = t[(crc ^ value) & 0xFF] ^ (crc >> 8);
        }

        return crc;
    }

    private static uint[] Make()
    {
        var table = new uint[8 * 256];
        for (uint n = 0; n < 256; n++)
        {
            var c = n;
            for (var k = 0; k < 8; k++)
            {
                c = (c & 1) != 0 ? 0xEDB8_8320 ^ (c >> 1) : c >> 1;
            }

            table[n] = c;
        }

        for (var slice = 1; slice < 8; slice++)
        {
            for (var n = 0; n < 256; n++)
            {
                var before = table[((slice - 1) * 256) + n];
                table[(slice * 256) + n] = table[before & 0xFF] ^ (before >> 8);
            }
        }

        return table;
    }
}
