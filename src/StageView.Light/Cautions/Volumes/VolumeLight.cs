using System.Numerics;

namespace StageView.Light.Cautions.Volumes;

/// <summary>Where light in a volume is strongest.</summary>
/// <param name="Point">m.</param>
/// <param name="Lux">Illuminance there of a plane that faces the light, lx.</param>
/// <param name="AtMostLux">No point of the volume has more than this, lx: within the search's tolerance of <paramref name="Lux"/> unless the search had to
/// stop early.</param>
public readonly record struct VolumeLight(Vector3 Point, float Lux, float AtMostLux);
