using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Programs;

namespace StageView.Stage.Levels;

/// <summary>Where each component of each pixel lies in the levels.</summary>
internal static class PixelWiring
{
    /// <summary>Places of the first (most significant) byte of each component, pixel by pixel in the grid's order (row by row from the top left).</summary>
    public static int[] Locate(EmitterCode emitter, Fixture fixture, UniverseMap map)
    {
        if (emitter.Block is not { } block || emitter.Node.Pixels is not { } grid)
        {
            return [];
        }

        var components = block.Order.Length;
        var size = components * block.BytesPerComponent;
        var places = new int[grid.Columns * grid.Rows * components];
        Array.Fill(places, -1);
        var start = fixture.Patch.Where(p => p.Break == block.Break).Select(p => p.Start.Absolute + block.FirstOffset - 1).DefaultIfEmpty(-1).First();
        var own = start < 0 ? map.OwnStart(fixture, block.Break) : -1;
        if (start < 0 && own < 0)
        {
            return places;
        }

        // Without an address the bytes lie one after another in places of their own.
        start = own >= 0 ? own + block.FirstOffset - 1 : start;

        var at = start;
        for (var n = 0; n < grid.Columns * grid.Rows; n++)
        {
            // A pixel that may not be split starts at address 1 of the next universe instead.
            if (!block.SplitsPixels && (at % 512) + size > 512)
            {
                at = ((at / 512) + 1) * 512;
            }

            var (column, row) = block.Path.Wired(n, grid.Columns, grid.Rows);
            for (var k = 0; k < components; k++)
            {
                places[(((row * grid.Columns) + column) * components) + k] =
                    own >= 0 ? at + (k * block.BytesPerComponent) : map.LocateAbsolute(at + (k * block.BytesPerComponent));
            }

            at += size;
        }

        return places;
    }
}
