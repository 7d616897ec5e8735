using System.Numerics;
using StageView.Light.Measure;

namespace StageView.Show.Questions;

/// <summary>Illuminance at one point, every way it is usually asked for, lx.</summary>
public sealed record PointLux(
    float Horizontal, float TowardAudience, float TowardUpstage, float TowardLeft, float TowardRight, float Cylindrical, float HorizontalReflected,
    float HorizontalSurface)
{
    /// <remarks>Left and right as the audience sees them.</remarks>
    public static PointLux At(LightMeter meter, Vector3 point)
    {
        var flat = meter.At(point, Vector3.UnitZ);
        return new PointLux(
            flat.Lux, meter.At(point, -Vector3.UnitY).Lux, meter.At(point, Vector3.UnitY).Lux,
            meter.At(point, -Vector3.UnitX).Lux, meter.At(point, Vector3.UnitX).Lux, meter.Cylindrical(point).Lux, flat.Reflected, flat.Surface);
    }
}
