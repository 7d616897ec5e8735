using System.Numerics;

namespace StageView.Light.Moments;

/// <summary>
/// Framing blades at this instant: up to four straight edges that cut the beam's outline, each a plane through the apex. An edge (n, d) keeps the light
/// with n · p ≤ d, where p is where a direction meets the plane at unit distance, along <see cref="Beam.Right"/> and <see cref="Beam.Up"/>.
/// </summary>
/// <param name="Count">How many of the edges count, from the first.</param>
/// <param name="First">n, of unit length, and d.</param>
/// <param name="Second">The same of the second.</param>
/// <param name="Third">The same of the third.</param>
/// <param name="Fourth">The same of the fourth.</param>
/// <param name="Softness">Half width of an edge, in the same plane, whatever the focus.</param>
/// <param name="MostSoftness">No focus makes an edge softer than this.</param>
public readonly record struct Blades(int Count, Vector3 First, Vector3 Second, Vector3 Third, Vector3 Fourth, float Softness, float MostSoftness)
{
    /// <summary>One of the edges, from 0.</summary>
    public Vector3 this[int index] => index switch { 0 => First, 1 => Second, 2 => Third, _ => Fourth };
}
