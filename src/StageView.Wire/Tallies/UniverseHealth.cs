namespace StageView.Wire.Tallies;

/// <summary>One universe, as heard so far.</summary>
public sealed record UniverseHealth
{
    public required int Universe { get; init; }

    public required IReadOnlyList<SourceHealth> Sources { get; init; }

    /// <summary>Packets of sources beyond the bound.</summary>
    public required long Refused { get; init; }

    /// <summary>Packets with other start codes than levels.</summary>
    public required long OtherStartCodes { get; init; }

    public required int LastOtherStartCode { get; init; }

    /// <summary>Addresses on which live sources of the highest priority disagree now, 1 to 512.</summary>
    public required IReadOnlyList<int> Disagreements { get; init; }

    /// <summary>Its synchronisation was lost and the source asked to freeze.</summary>
    public required bool FrozenBySync { get; init; }
}
