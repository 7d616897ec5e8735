using System.Numerics;

namespace StageView.Light.Grids;

/// <summary>What is measured at each point.</summary>
public enum QuantityKind
{
    /// <summary>On the grid's own plane.</summary>
    Plane,

    /// <summary>On a plane that faces a point, such as a camera.</summary>
    TowardPoint,

    /// <summary>On an upright plane that faces along a horizontal direction.</summary>
    Vertical,

    /// <summary>Mean over all upright planes (EN 12464-1).</summary>
    Cylindrical,

    /// <summary>Half cylinder facing along a direction (EN 13201-3).</summary>
    SemiCylindrical,
}

/// <param name="Kind">What is measured.</param>
/// <param name="Argument">The point faced (m) or the direction, where the kind needs one.</param>
public readonly record struct Quantity(QuantityKind Kind, Vector3 Argument = default);
