namespace StageView.Wire.Health;

/// <summary>What can be wrong with what is heard. <see cref="FindingWords"/> has the words of each, and says which fields they use.</summary>
public enum FindingKind
{
    PatchedButSilent,
    HeardButNotPatched,
    SourcesDisagree,

    /// <summary>Several senders with one CID: receivers take them for one.</summary>
    SharedCid,

    /// <summary>A sender offers a patched universe and never sent it.</summary>
    BackupNeverSent,

    /// <summary>A sender doubles others' universes but leaves this one out.</summary>
    BackupLeavesOut,

    /// <summary>Fell silent without saying so.</summary>
    SourceStopped,

    /// <summary>Said that it ends, and none is left.</summary>
    SourceEnded,

    /// <summary>For want of synchronisation.</summary>
    LevelsFrozen,

    /// <summary>No level changed while the sender's other universes move.</summary>
    LevelsStill,
    UniverseTooShort,
    PacketsLost,
    DroppedByThisMachine,

    /// <summary>Another program listens on an address and port of ours, so that one of the two gets no unicast.</summary>
    SharedPort,

    /// <summary>Sources of a universe beyond the bound.</summary>
    TooManySources,

    /// <summary>Universes or senders beyond the bound.</summary>
    TooMany,
    PreviewOnly,

    /// <summary>All that is heard is preview data, which the settings refuse.</summary>
    PreviewRefused,
    Malformed,
    OtherStartCodes,

    /// <summary>Each packet comes twice or more often: a loop, a second path.</summary>
    Doubled,

    /// <summary>More packets a second than a line of DMX512 carries.</summary>
    RateTooHigh,

    /// <summary>Fewer packets than a receiver waits for.</summary>
    RateTooLow,

    /// <summary>Packets in bunches.</summary>
    Ragged,

    /// <summary>sACN and Art-Net for one universe.</summary>
    TwoProtocols,
    PriorityFlaps,

    /// <summary>Per-address priority is sent, and the settings ignore it.</summary>
    PrioritiesIgnored,

    /// <summary>Packets come, but none with levels.</summary>
    NoLevels,

    /// <summary>Sent, and missing in its sender's universe discovery.</summary>
    NotOffered,
}
