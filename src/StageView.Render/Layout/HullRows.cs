using System.Numerics;
using System.Runtime.InteropServices;

namespace StageView.Render.Layout;

/// <summary>A beam in one view, <c>Hull</c> in shaders.</summary>
/// <param name="FirstCorner">Corners lie in pairs: near end, far end.</param>
/// <param name="Pairs">0: all over the picture.</param>
/// <param name="Beam">Number of the beam, or -1 for none.</param>
[StructLayout(LayoutKind.Sequential)]
internal record struct HullRow(uint FirstCorner, uint Pairs, int Beam, uint Spare);

/// <summary>A corner of a hull.</summary>
/// <param name="Place">World metres.</param>
/// <param name="Beam">Number of the beam.</param>
[StructLayout(LayoutKind.Sequential)]
internal record struct HullCorner(Vector3 Place, float Beam);

/// <summary>
/// The outline of a hull in the picture, pixels: all p with n·p at most so much for each side. <c>Outline</c> in shaders, which alone fill it.
/// </summary>
[StructLayout(LayoutKind.Sequential)]
internal struct HullOutline
{
    /// <summary>Low, high.</summary>
    public Vector4 Box;

    public Vector2 SideNormal;
    public float SideMost;

    /// <summary>Nearest depth, m.</summary>
    public float Nearest;

    public Vector2 OtherNormal;
    public float OtherMost;
    public float Spare;
    public Vector2 EndsNormal;
    public float EndsMost;
    public float EndsLeast;
}

/// <summary>What the surfaces in a tile span, <c>Tile</c> in shaders, which alone fill it.</summary>
[StructLayout(LayoutKind.Sequential)]
internal struct TileSpan
{
    /// <summary>World metres.</summary>
    public Vector3 Low;

    /// <summary>From the eye, m.</summary>
    public float Farthest;

    /// <summary>World metres.</summary>
    public Vector3 High;

    /// <summary>1 where there is a surface at all.</summary>
    public float Filled;
}
