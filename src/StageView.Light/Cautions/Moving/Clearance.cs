using System.Numerics;

namespace StageView.Light.Cautions.Moving;

/// <summary>The least distance between two things.</summary>
/// <param name="Metres">m; 0 when they touch or overlap.</param>
/// <param name="PointA">Where on the first, m.</param>
/// <param name="PointB">Where on the second, m.</param>
public readonly record struct Clearance(float Metres, Vector3 PointA, Vector3 PointB)
{
    /// <summary>The same seen from the other.</summary>
    public Clearance Turned() => new(Metres, PointB, PointA);
}
