namespace StageView.Live.Pictures;

/// <summary>
/// A level drawn as eight square cells along the top left corner of a picture, highest bit first, white for 1: what the
/// page and the window are read back by when delays are measured. A cell is 1/64 of the width, at least 2 pixels.
/// </summary>
internal static class MarkerCells
{
    public static int CellOf(int width) => Math.Max(2, width / 64);

    public static void Paint(Span<byte> rgba, int width, int height, int level)
    {
        var cell = CellOf(width);
        for (var y = 0; y < Math.Min(cell, height); y++)
        {
            var row = rgba.Slice(y * width * 4, Math.Min(8 * cell, width) * 4);
            for (var bit = 0; bit < 8; bit++)
            {
                row.Slice(bit * cell * 4, cell * 4).Fill((level >> (7 - bit) & 1) != 0 ? (byte)255 : (byte)0);
            }
        }

        for (var i = 3; i < width * Math.Min(cell, height) * 4; i += 4)
        {
            rgba[i] = 255;
        }
    }

    public static int Read(ReadOnlySpan<byte> rgba, int width)
    {
        var cell = CellOf(width);
        var level = 0;
        for (var bit = 0; bit < 8; bit++)
        {
            var at = ((cell / 2 * width) + (bit * cell) + (cell / 2)) * 4;
            level = (level * 2) + (rgba[at + 1] > 127 ? 1 : 0);
        }

        return level;
    }
}
