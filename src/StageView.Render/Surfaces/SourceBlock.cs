using System.Numerics;
using StageView.Light.Beams;

namespace StageView.Render.Surfaces;

/// <summary>A part of a pixel surface, or several near each other, as one source of light.</summary>
/// <param name="Place">World m.</param>
/// <param name="Front">Unit; what a flat block faces.</param>
/// <param name="Area">m².</param>
/// <param name="Radius">Of a globe, m; 0 for a flat block.</param>
/// <param name="Luminance">Mean of the lit part, linear Rec.709, cd/m².</param>
internal readonly record struct SourceBlock(Vector3 Place, Vector3 Front, float Area, float Radius, Vector3 Luminance)
{
    /// <summary>Luminance times area, cd.</summary>
    public float Flux => Area * BeamPhotometry.Luminance(Luminance);
}
