using System.Numerics;

namespace StageView.Render.Aids;

/// <summary>What the reading aids say of one fixture.</summary>
/// <param name="Name">Its name in the rig.</param>
/// <param name="Point">Where its label points, world m.</param>
/// <param name="Universes">Universes it is patched to, lowest first; empty when not patched.</param>
public readonly record struct AidFixture(string Name, Vector3 Point, IReadOnlyList<int> Universes);
