using System.Numerics;
using StageView.Ground.Indices;

namespace StageView.Light.Seen;

/// <summary>What one fixture adds to what an eye sees in one direction.</summary>
/// <param name="Luminance">cd/m², above 0.</param>
public readonly record struct SeenShare(FixtureIndex Fixture, float Luminance);

/// <summary>One look of an eye.</summary>
/// <param name="Shares">The fixtures whose light is seen, the brightest first.</param>
/// <param name="Head">The fixture whose housing or lens the look ends on, or none.</param>
/// <param name="Point">Where the look ends, m; null where it meets nothing.</param>
public sealed record SeenLook(IReadOnlyList<SeenShare> Shares, FixtureIndex Head, Vector3? Point);
