namespace StageView.Wire.Health;

/// <summary>What a finding about one source says beside its universe, so that findings that differ by universe and amount can be told as one.</summary>
public sealed record FindingDetail
{
    /// <summary>The source as a reader calls it.</summary>
    public required string Who { get; init; }

    /// <summary>Words between <see cref="Who"/> and the time or, for lost packets, the share.</summary>
    public required string Does { get; init; }

    /// <summary>Words after it.</summary>
    public string Tail { get; init; } = "";

    /// <summary>Since when, s.</summary>
    public double Seconds { get; init; }

    /// <summary>Packets concerned.</summary>
    public long Count { get; init; }

    /// <summary>Of how many that were sent.</summary>
    public long Of { get; init; }

    /// <param name="kind">What kind of finding it is.</param>
    /// <param name="where">The universe or universes.</param>
    public string Say(FindingKind kind, string where) => kind switch
    {
        FindingKind.PacketsLost => FormattableString.Invariant($"{where}: {Count} packets of {Who} {Does} ({100.0 * Count / Math.Max(1, Of):F2} %){Tail}"),
        FindingKind.SourceStopped => FormattableString.Invariant($"{where}: {Who} {Does} {Seconds:F1} s{Tail}"),
        _ => FormattableString.Invariant($"{where}: {Who} {Does} {Seconds:F0} s{Tail}"),
    };
}
