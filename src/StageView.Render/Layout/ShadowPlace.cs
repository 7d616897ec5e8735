using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>Where a beam's shadows lie in the atlas; zero for a beam that nothing stands in.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct ShadowPlace
{
    /// <summary>(right, up) / along * xy + zw is the place in the atlas, 0 to 1.</summary>
    public Vector4 Tile;

    /// <summary>The depth there is this + <see cref="DepthSlope"/> / along.</summary>
    public float DepthOffset;

    /// <summary>m.</summary>
    public float DepthSlope;

    /// <summary>A texel's size, m a metre along.</summary>
    public float Texel;

    /// <summary>Of the tile, as a share of the atlas' side; tiles lie at multiples of their sides.</summary>
    public float Side;
}
