namespace StageView.Rig.Profiles;

/// <summary>How a run of pixels goes over its grid.</summary>
public static class PixelPaths
{
    /// <summary>Column and row of the n-th pixel along the wire.</summary>
    public static (int Column, int Row) Wired(this PixelPath path, int n, int columns, int rows)
    {
        if (path is PixelPath.Columns or PixelPath.ColumnsSerpentine)
        {
            var (c, r) = (n / rows, n % rows);
            return (c, path == PixelPath.ColumnsSerpentine && (c & 1) == 1 ? rows - 1 - r : r);
        }

        var (column, row) = (n % columns, n / columns);
        return (path == PixelPath.RowsSerpentine && (row & 1) == 1 ? columns - 1 - column : column, row);
    }
}
