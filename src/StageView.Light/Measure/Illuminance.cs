using System.Numerics;
using StageView.Light.Beams;

namespace StageView.Light.Measure;

/// <summary>Where light at a point comes from.</summary>
public enum LightKind
{
    /// <summary>Straight from a fixture.</summary>
    Direct,

    /// <summary>Off one or more mirrors.</summary>
    Reflected,

    /// <summary>From a pixel surface.</summary>
    Surface,

    /// <summary>Thrown by matt surfaces, by those that shine, and by haze away from the beam.</summary>
    Indirect,
}

/// <summary>Light on a plane, lx, by where it came from.</summary>
/// <param name="Rgb">All of it as linear Rec.709, lx.</param>
/// <param name="Direct">lx.</param>
/// <param name="Reflected">lx.</param>
/// <param name="Surface">lx.</param>
/// <param name="Indirect">Between matt surfaces, lx; 0 where the meter leaves it out.</param>
public readonly record struct Illuminance(Vector3 Rgb, float Direct, float Reflected, float Surface, float Indirect = 0)
{
    public float Lux => Direct + Reflected + Surface + Indirect;

    /// <summary>With more light added.</summary>
    public Illuminance Plus(Vector3 rgb, LightKind kind)
    {
        var lux = BeamPhotometry.Luminance(rgb);
        return kind switch
        {
            LightKind.Direct => this with { Rgb = Rgb + rgb, Direct = Direct + lux },
            LightKind.Reflected => this with { Rgb = Rgb + rgb, Reflected = Reflected + lux },
            LightKind.Indirect => this with { Rgb = Rgb + rgb, Indirect = Indirect + lux },
            _ => this with { Rgb = Rgb + rgb, Surface = Surface + lux },
        };
    }
}
