namespace StageView.Wire.Health;

/// <summary>
/// Something about the network that the designer should know: a kind and its fields. Which fields a kind has stands beside its words in
/// <see cref="FindingWords"/>.
/// </summary>
public sealed record Finding
{
    public required FindingKind Kind { get; init; }

    /// <summary>True for a fault that stands; false for a remark.</summary>
    public required bool Stands { get; init; }

    /// <summary>The universes it is said of, rising; empty for the whole network. One, until <see cref="FindingGroups"/> tells several as one.</summary>
    public IReadOnlyList<int> Universes { get; init; } = [];

    /// <summary>The only universe, or null.</summary>
    public int? Universe => Universes.Count == 1 ? Universes[0] : null;

    /// <summary>Sources, as a reader calls them (name and address).</summary>
    public IReadOnlyList<string> Sources { get; init; } = [];

    /// <summary>Addresses, 1 to 512, rising; the same in each universe.</summary>
    public IReadOnlyList<int> Addresses { get; init; } = [];

    /// <summary>Priority, 0 to 200.</summary>
    public int? Priority { get; init; }

    /// <summary>Addresses that a source sends, 1 to 512.</summary>
    public int? Sends { get; init; }

    /// <summary>Highest address that the patch uses, 1 to 512.</summary>
    public int? Needs { get; init; }

    /// <summary>Sources or universes beside those that the finding is about.</summary>
    public int? Beside { get; init; }

    /// <summary>The last start code.</summary>
    public int? StartCode { get; init; }

    /// <summary>Packets concerned.</summary>
    public long? Count { get; init; }

    /// <summary>Of how many that were sent.</summary>
    public long? Of { get; init; }

    /// <summary>Since when, s; null where the times are told beside it.</summary>
    public double? Seconds { get; init; }

    /// <summary>Counted within so many seconds before the newest look; null for all since the beginning.</summary>
    public double? WithinSeconds { get; init; }

    /// <summary>No other source sends, so that the last levels are held; of what comes twice, that it comes again after others.</summary>
    public bool Held { get; init; }

    /// <summary>Packets a second.</summary>
    public double? PerSecond { get; init; }

    /// <summary>What the protocol asks instead, packets a second.</summary>
    public double? Asked { get; init; }

    /// <summary>Why the last packet was refused.</summary>
    public string? Reason { get; init; }

    /// <summary>One line: what, where, and what to do where that is known.</summary>
    public string Text => FindingWords.Say(this);
}
