using System.Numerics;

namespace StageView.Light.Measure;

/// <summary>The patch of light a beam makes on the plane it lands on.</summary>
public sealed record Footprint
{
    /// <summary>World points round the patch at the field angle, cut by the mirrors' outlines; empty where the cone doesn't close on the plane.</summary>
    public required Vector3[] Outline { get; init; }

    /// <summary>m².</summary>
    public required float Area { get; init; }

    /// <summary>Longest extent on the plane, m.</summary>
    public required float Length { get; init; }

    /// <summary>Extent square to that, m.</summary>
    public required float Width { get; init; }

    /// <summary>Diameter of the cone at the beam angle, square to the axis at the landing, m: 2·d·tan(½ angle); near a lens as wide as it.</summary>
    public required float SpotAtBeamAngle { get; init; }

    /// <summary>Diameter of the cone at the field angle, m.</summary>
    public required float SpotAtFieldAngle { get; init; }

    /// <summary>Flux inside the outline over its area, haze taken off at the throw, lx.</summary>
    public required float MeanLux { get; init; }
}
