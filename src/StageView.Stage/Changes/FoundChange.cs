namespace StageView.Stage.Changes;

/// <summary>A change found in the levels: many channels that stood still begin to move together.</summary>
public sealed record FoundChange
{
    /// <summary>From 1, in order of time.</summary>
    public required int Number { get; init; }

    /// <summary>When the first channel moves.</summary>
    public required TimeSpan Start { get; init; }

    /// <summary>When the last channel that comes to rest has done so.</summary>
    public required TimeSpan Settled { get; init; }

    /// <summary>When the levels are farthest from where they stood.</summary>
    public required TimeSpan Peak { get; init; }

    /// <summary>True when the levels return within a second or so to where they stood.</summary>
    public bool IsFlash { get; init; }

    /// <summary>Addresses that moved; the pixels of a profile count as one a colour.</summary>
    public required int Channels { get; init; }

    /// <summary>A digest of the channels that moved, by fixture and name, and where they came to rest: the same cue, the same digest.</summary>
    public required string Look { get; init; }

    /// <summary>A sketch of which channels moved, whatever they did; see <see cref="PlaceIdentity.Sketch"/>.</summary>
    public string Shape { get; init; } = "";
}
