namespace StageView.Render.Layout;

/// <summary>Storage buffers of the shaders in <c>shaders/tiled</c>: where each is bound.</summary>
internal enum TileBuffer : uint
{
    /// <summary><see cref="HullRow"/> each.</summary>
    Hulls,

    /// <summary><see cref="HullCorner"/> each.</summary>
    Corners,

    /// <summary><see cref="HullOutline"/> each.</summary>
    Outlines,

    /// <summary><see cref="TileSpan"/> each.</summary>
    Tiles,

    /// <summary>Words of bits, a hull each.</summary>
    Lists,

    /// <summary>Light that several workgroups find for one cell.</summary>
    Shares,
}
