namespace StageView.Wire.Levels;

/// <summary>What a merger has seen, in packets since it was made.</summary>
public sealed class WireCounters
{
    /// <summary>All datagrams.</summary>
    public long Received { get; internal set; }

    public long Taken { get; internal set; }

    public long Malformed { get; internal set; }

    /// <summary>Neither E1.31 nor Art-Net, or parts of them that carry no levels.</summary>
    public long Ignored { get; internal set; }

    public long Duplicates { get; internal set; }

    public long OutOfOrder { get; internal set; }

    /// <summary>Numbers that the sequences skipped.</summary>
    public long Missing { get; internal set; }

    public long PreviewRefused { get; internal set; }

    /// <summary>Packets refused because a bound on universes, senders or sources was hit.</summary>
    public long NoRoom { get; internal set; }
}
