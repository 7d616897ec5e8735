namespace StageView.Render.Shadows;

/// <summary>Places square tiles, whose sides are powers of two, in a square atlas without gaps: largest first along a Z-order curve.</summary>
internal static class ShadowTiles
{
    /// <summary>Side by request, side of the atlas; on return places, and the sides, halved as often as needed to fit.</summary>
    public static void Place(Span<int> sides, int atlas, Span<(int X, int Y)> places)
    {
        long area;
        while ((area = Area(sides)) > (long)atlas * atlas)
        {
            foreach (ref var side in sides)
            {
                side = Math.Max(16, side / 2);
            }

            if (Area(sides) == area)
            {
                break;
            }
        }

        // A Z-order index counts cells of 16 x 16; a tile of side s takes (s/16)² of them, aligned because larger ones come first.
        var cell = 0L;
        for (var size = atlas; size >= 16; size /= 2)
        {
            for (var i = 0; i < sides.Length; i++)
            {
                if (sides[i] == size)
                {
                    places[i] = (Even(cell) * 16, Even(cell >> 1) * 16);
                    cell += (long)(size / 16) * (size / 16);
                }
            }
        }
    }

    private static long Area(ReadOnlySpan<int> sides)
    {
        long area = 0;
        foreach (var side in sides)
        {
            area += (long)side * side;
        }

        return area;
    }

    /// <summary>The bits at even places, closed up.</summary>
    private static int Even(long v)
    {
        var r = 0;
        for (var i = 0; i < 31; i++)
        {
            r |= (int)((v >> (2 * i)) & 1) << i;
        }

        return r;
    }
}
