namespace StageView.Snapshot.Frames;

/// <summary>One fixture that is lit or moving in a frame.</summary>
public sealed record FixtureRecord
{
    public required string Name { get; init; }

    public bool Lit { get; init; }

    public bool Moving { get; init; }

    public IReadOnlyList<AttributeRecord> Attributes { get; init; } = [];

    /// <summary>Where its light is seen in the picture.</summary>
    public IReadOnlyList<ScreenCover> Covers { get; init; } = [];
}
