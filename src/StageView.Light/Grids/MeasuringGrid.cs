using System.Numerics;

namespace StageView.Light.Grids;

/// <summary>Points on a parallelogram: from corner to corner along each edge, both ends included; the middle where there is one point only.</summary>
/// <param name="Origin">Corner, m.</param>
/// <param name="EdgeU">First edge, m.</param>
/// <param name="EdgeV">Second edge, m; zero for a line.</param>
/// <param name="CountU">Points along the first edge, 1 or more.</param>
/// <param name="CountV">Points along the second, 1 or more.</param>
/// <param name="Normal">Unit normal of the measuring plane: light counts from the side it points to.</param>
public readonly record struct MeasuringGrid(Vector3 Origin, Vector3 EdgeU, Vector3 EdgeV, int CountU, int CountV, Vector3 Normal)
{
    public int Count => CountU * CountV;

    /// <summary>The point of column <paramref name="u"/> and row <paramref name="v"/>.</summary>
    public Vector3 Point(int u, int v) => Origin + (EdgeU * Share(u, CountU)) + (EdgeV * Share(v, CountV));

    private static float Share(int i, int count) => count <= 1 ? 0.5f : (float)i / (count - 1);
}
