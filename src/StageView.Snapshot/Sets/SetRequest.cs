using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Sets;

/// <summary>Two sets of frames to compare.</summary>
public sealed record SetRequest
{
    public required FrameSet Base { get; init; }

    public required FrameSet New { get; init; }

    /// <summary>Settings from the command line: they win over all others.</summary>
    public TolerancePart? Asked { get; init; }

    /// <summary>Folder for the journal and the difference pictures, or null for neither.</summary>
    public string? WorkFolder { get; init; }

    /// <summary>Frames whose name this says yes to, or null for all.</summary>
    public Func<string, bool>? Only { get; init; }

    /// <summary>Which share of the frames this run takes, by their place in the sorted list: <c>Shard</c> of <c>Shards</c>, from 1.</summary>
    public int Shard { get; init; } = 1;

    public int Shards { get; init; } = 1;

    /// <summary>Whether frames that only the base has are left out: the new set is one machine's part.</summary>
    public bool Part { get; init; }

    /// <summary>Pairs compared at once; memory is bounded by it.</summary>
    public int Parallel { get; init; } = Math.Clamp(Environment.ProcessorCount, 1, 4);

    /// <summary>Whether the resumed run may use the answers of the journal.</summary>
    public bool Resume { get; init; } = true;
}
