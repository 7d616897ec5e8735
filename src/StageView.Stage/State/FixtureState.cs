using StageView.Ground.Indices;

namespace StageView.Stage.State;

/// <summary>A fixture at one instant, for people and sidecar files: every channel, and what its emitters give.</summary>
/// <param name="Fixture">Index in the rig.</param>
/// <param name="Name">Name in the rig.</param>
/// <param name="Attributes">Channel by channel, in the mode's order.</param>
/// <param name="Emitters">Emitter by emitter.</param>
public sealed record FixtureState(FixtureIndex Fixture, string Name, IReadOnlyList<AttributeState> Attributes, IReadOnlyList<EmitterReport> Emitters);
