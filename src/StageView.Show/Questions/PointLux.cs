using System.Numerics;
using StageView.Light.Grids;
using StageView.Light.Measure;

namespace StageView.Show.Questions;

/// <summary>Illuminance at one point, every way it is usually asked for, lx.</summary>
public sealed record PointLux(
    float Horizontal, float TowardAudience, float TowardUpstage, float TowardLeft, float TowardRight, float Cylindrical, float HorizontalReflected,
    float HorizontalSurface)
{
    /// <summary>What of the horizontal comes from matt surfaces, lx; null where that is left out.</summary>
    public float? HorizontalIndirect { get; init; }

    /// <summary>What of <see cref="TowardAudience"/> comes from matt surfaces, lx; null where that is left out.</summary>
    public float? TowardAudienceIndirect { get; init; }

    /// <summary>What of <see cref="TowardUpstage"/> comes from matt surfaces, lx; null where that is left out.</summary>
    public float? TowardUpstageIndirect { get; init; }

    /// <summary>What was asked for instead of all these, lx; null where it was the plane, of which a point has none.</summary>
    public float? Asked { get; init; }

    /// <remarks>Left and right as the audience sees them.</remarks>
    public static PointLux At(LightMeter meter, Vector3 point, Quantity quantity = default)
    {
        var (flat, front, back) = (meter.At(point, Vector3.UnitZ), meter.At(point, -Vector3.UnitY), meter.At(point, Vector3.UnitY));
        return new PointLux(
            flat.Lux, front.Lux, back.Lux,
            meter.At(point, -Vector3.UnitX).Lux, meter.At(point, Vector3.UnitX).Lux, meter.Cylindrical(point).Lux, flat.Reflected, flat.Surface)
        {
            HorizontalIndirect = meter.HasIndirect ? flat.Indirect : null,
            TowardAudienceIndirect = meter.HasIndirect ? front.Indirect : null,
            TowardUpstageIndirect = meter.HasIndirect ? back.Indirect : null,
            Asked = quantity.Kind == QuantityKind.Plane ? null : GridMeter.At(meter, point, Vector3.UnitZ, quantity).Lux,
        };
    }
}
