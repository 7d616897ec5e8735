using System.Numerics;

namespace StageView.Light.Interreflection;

/// <summary>Light that matt surfaces throw on one piece of scenery, on a grid over its mesh: how a picture looks it up.</summary>
public sealed class MattGrid
{
    /// <summary>Ways that a surface may face in the mesh's axes: -X, +X, -Y, +Y, -Z, +Z.</summary>
    public const int Ways = PatchShape.Ways;

    private readonly PatchGrid _grid;
    private readonly MattLight _light;

    internal MattGrid(in PatchGrid grid, MattLight light) => (_grid, _light) = (grid, light);

    /// <summary>Cells along X, 1 or more.</summary>
    public int Columns => _grid.Shape.Columns;

    /// <summary>Cells along Y, 1 or more.</summary>
    public int Rows => _grid.Shape.Rows;

    /// <summary>Cells along Z, 1 or more.</summary>
    public int Layers => _grid.Shape.Layers;

    /// <summary>Corner of the grid, m, in the mesh's axes after scaling.</summary>
    public Vector3 Low => _grid.Shape.Low;

    /// <summary>Size of a cell, m.</summary>
    public Vector3 Cell => _grid.Shape.Cell;

    /// <summary>Cells by X, then Y, then Z, with <see cref="Ways"/> values each: linear Rec.709 in lx and 1, or zeros where nothing faces that way.</summary>
    public void Write(Span<Vector4> to)
    {
        var numbers = _grid.Shape.Numbers;
        var lux = _light.Smooth;
        for (var i = 0; i < numbers.Length; i++)
        {
            to[i] = numbers[i] >= 0 && !_light.Links.IsCovered(_grid.First + numbers[i]) ? new Vector4(lux[_grid.First + numbers[i]], 1) : default;
        }
    }
}
