namespace StageView.Render.Layout;

/// <summary>The picture in tiles.</summary>
internal static class TileGrid
{
    /// <summary>Side of a tile, pixels.</summary>
    public const int Side = 16;
}
