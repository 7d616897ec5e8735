using StageView.Rig.Profiles;
using StageView.Wire.Universes;

namespace StageView.Stage.State;

/// <summary>A grid of pixels as it is wired.</summary>
/// <param name="Geometry">Its geometry's name.</param>
/// <param name="Node">Its geometry's place in the mode.</param>
/// <param name="Path">How the wire goes over it.</param>
/// <param name="Peak">Luminance of all components at full, cd/m².</param>
/// <param name="Addresses">Of each pixel's first byte, row by row from the top left; null for those without an address.</param>
public sealed record PixelGrid(string Geometry, int Node, PixelPath Path, float Peak, IReadOnlyList<UniverseAddress?> Addresses);
