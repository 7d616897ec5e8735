namespace StageView.Snapshot.Compare;

/// <summary>What became of each pixel of a frame.</summary>
public sealed class ChangeMap(int width, int height)
{
    public int Width { get; } = width;

    public int Height { get; } = height;

    /// <summary>Row by row from the top.</summary>
    public PixelChange[] Pixels { get; } = new PixelChange[width * height];

    public PixelChange this[int x, int y] => Pixels[(y * Width) + x];

    public static bool IsChange(PixelChange change) => change is PixelChange.Changed or PixelChange.Faint;

    /// <summary>Changed pixels counted in a coarse grid, row by row.</summary>
    public int[] Grid(int columns, int rows)
    {
        var counts = new int[columns * rows];
        for (var y = 0; y < Height; y++)
        {
            var row = y * rows / Height * columns;
            for (var x = 0; x < Width; x++)
            {
                if (IsChange(this[x, y]))
                {
                    counts[row + (x * columns / Width)]++;
                }
            }
        }

        return counts;
    }
}
