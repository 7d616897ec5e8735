using StageView.Ground.Indices;

namespace StageView.Stage.Changes;

/// <summary>A stretch of time in which one attribute of one fixture differs between two captures.</summary>
public sealed record Parting
{
    public required FixtureIndex Fixture { get; init; }

    public required string Name { get; init; }

    /// <summary>Attribute name, with the geometry where a fixture has several of it; <c>pixels</c> for a grid.</summary>
    public required string Attribute { get; init; }

    public required string Unit { get; init; }

    /// <summary>Times of the first capture, s.</summary>
    public required double From { get; init; }

    public required double To { get; init; }

    /// <summary>Values where they lie farthest apart, and when that is (time of the first capture, s).</summary>
    public required double First { get; init; }

    public required double Second { get; init; }

    public required double At { get; init; }

    /// <summary>Slot or state names there, where they differ.</summary>
    public string FirstText { get; init; } = "";

    public string SecondText { get; init; } = "";
}
