namespace StageView.Wire.Tallies;

/// <summary>The network as heard up to a time.</summary>
public sealed record WireHealth
{
    /// <summary>Show time in seconds.</summary>
    public required double At { get; init; }

    public required IReadOnlyList<UniverseHealth> Universes { get; init; }

    public required IReadOnlyList<SenderHealth> Senders { get; init; }

    /// <summary>All datagrams that came.</summary>
    public required long Received { get; init; }

    /// <summary>Of those that came since the sample before.</summary>
    public double PacketsPerSecond { get; init; }

    public required long Taken { get; init; }

    public required long Malformed { get; init; }

    public required long Ignored { get; init; }

    public required long NoRoom { get; init; }

    public required long PreviewRefused { get; init; }

    /// <summary>Why the latest malformed packet was refused.</summary>
    public required string? LastMalformed { get; init; }

    /// <summary>Who sent the malformed packets, most first; 64 hosts at most.</summary>
    public IReadOnlyList<MalformedSender> MalformedFrom { get; init; } = [];

    /// <summary>Addresses and ports of ours on which another program listens, too; empty for captures and where the system doesn't tell.</summary>
    public IReadOnlyList<string> SharedPorts { get; init; } = [];

    /// <summary>The kernel's own count of dropped datagrams; null for captures and where the system doesn't tell.</summary>
    public long? KernelDrops { get; init; }
}
