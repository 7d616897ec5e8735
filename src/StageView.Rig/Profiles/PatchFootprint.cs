using StageView.Wire.Universes;

namespace StageView.Rig.Profiles;

/// <summary>Which addresses a mode takes from a start on. Addresses here are absolute (<see cref="UniverseAddress.Absolute"/>).</summary>
public static class PatchFootprint
{
    private const int PerUniverse = UniverseAddress.AddressesPerUniverse;

    /// <summary>Only breaks that hold nothing but pixel runs may go on into the next universe.</summary>
    public static bool MayCross(FixtureMode mode, int brk)
    {
        ArgumentNullException.ThrowIfNull(mode);
        return mode.PixelBlocks.Any(b => b.Break == brk) && !mode.Channels.Any(c => c.Break == brk && c.Offsets.Count > 0);
    }

    /// <summary>Stretches of addresses, each with its length, in order of the mode.</summary>
    public static IEnumerable<(int From, int Count)> Occupied(FixtureMode mode, int brk, int start)
    {
        ArgumentNullException.ThrowIfNull(mode);
        return Stretches(mode, brk, start);
    }

    /// <summary>The first address after it.</summary>
    public static int End(FixtureMode mode, int brk, int start)
    {
        var end = start;
        foreach (var (from, count) in Occupied(mode, brk, start))
        {
            end = Math.Max(end, from + count);
        }

        return Math.Max(end, MayCross(mode, brk) ? end : start + mode.Footprints[brk - 1]);
    }

    /// <summary>
    /// Where pixel <paramref name="pixel"/> of a run starts. A run that doesn't split pixels goes on at address 1 of the
    /// next universe where a pixel no longer fits.
    /// </summary>
    public static int PixelStart(int runStart, int bytesPerPixel, bool splits, int pixel)
    {
        if (splits || bytesPerPixel > PerUniverse)
        {
            return runStart + (pixel * bytesPerPixel);
        }

        var inFirst = (PerUniverse - (runStart % PerUniverse)) / bytesPerPixel;
        if (pixel < inFirst)
        {
            return runStart + (pixel * bytesPerPixel);
        }

        var perUniverse = PerUniverse / bytesPerPixel;
        var rest = pixel - inFirst;
        return (((runStart / PerUniverse) + 1 + (rest / perUniverse)) * PerUniverse) + (rest % perUniverse * bytesPerPixel);
    }

    private static IEnumerable<(int From, int Count)> Stretches(FixtureMode mode, int brk, int start)
    {
        var footprint = brk <= mode.Footprints.Count ? mode.Footprints[brk - 1] : 0;
        if (!MayCross(mode, brk))
        {
            if (footprint > 0)
            {
                yield return (start, footprint);
            }

            yield break;
        }

        // Blocks follow each other: where one is pushed on to the next universe, those after it are too.
        var pushed = 0;
        foreach (var block in mode.PixelBlocks.Where(b => b.Break == brk).OrderBy(b => b.FirstOffset))
        {
            var grid = mode.Geometry[block.Geometry].Pixels;
            var pixels = grid is null ? 0 : grid.Columns * grid.Rows;
            var bytes = block.Order.Length * block.BytesPerComponent;
            var first = start + block.FirstOffset - 1 + pushed;
            var last = PixelStart(first, bytes, block.SplitsPixels, pixels - 1);
            pushed += last + bytes - (first + (pixels * bytes));
            for (var i = 0; i < pixels;)
            {
                var from = PixelStart(first, bytes, block.SplitsPixels, i);
                var fit = block.SplitsPixels ? pixels - i : Math.Min(pixels - i, Math.Max(1, (PerUniverse - (from % PerUniverse)) / bytes));
                yield return (from, fit * bytes);
                i += fit;
            }
        }
    }
}
