using System.Numerics;
using StageView.Light.Colour;

namespace StageView.Rig.Profiles;

/// <summary>A beam's light before any colour is put in, where the profile states more than a temperature.</summary>
/// <param name="Chromaticity">CIE 1931 x, y.</param>
/// <param name="Bands">Relative energy in the bands of <see cref="CieObserver"/>, or null where only the chromaticity is known.</param>
public sealed record LightSource(Vector2 Chromaticity, float[]? Bands);
