using System.Numerics;

namespace StageView.Light.Cautions.Volumes;

/// <summary>Where all the light of some sources together is strongest within a volume.</summary>
/// <param name="Point">m.</param>
/// <param name="AllRoundLux">Light from all round there, ∫ L dω, lx: four times the mean spherical illuminance (CIE S 017). No plane gets more.</param>
/// <param name="FacingLux">Illuminance there of the plane that faces the light, lx.</param>
/// <param name="AtMostLux">No point of the volume has more light from all round, lx.</param>
public readonly record struct TotalLight(Vector3 Point, float AllRoundLux, float FacingLux, float AtMostLux);
