using StageView.Ground.Indices;
using StageView.Rig.Profiles;

namespace StageView.Stage.Moves;

/// <summary>Where an axis of a fixture stands.</summary>
/// <param name="Fixture">Index in the rig.</param>
/// <param name="Geometry">The axis's place in the fixture's mode.</param>
/// <param name="Motion">How it moves.</param>
/// <param name="Value">m for a travel, else degrees.</param>
public readonly record struct HeldAxis(FixtureIndex Fixture, int Geometry, AxisMotion Motion, float Value);

/// <summary>A stretch of time in which a winch stands still, whatever is lit.</summary>
/// <param name="Axis">Which, and where.</param>
/// <param name="From">When it had arrived, s.</param>
/// <param name="To">When it left, s.</param>
public sealed record HeldHeight(HeldAxis Axis, double From, double To);

/// <summary>Zoom and focus that a lit, still head holds.</summary>
/// <param name="From">From when, s.</param>
/// <param name="To">Until when, s.</param>
/// <param name="Zoom">Value of its attribute, degrees; null for a head without zoom.</param>
/// <param name="Focus">Value of its attribute: m, or a share; null for a head without focus.</param>
public sealed record HeldOptics(double From, double To, float? Zoom, float? Focus)
{
    public double Seconds => To - From;
}
