namespace StageView.Wire.Health;

/// <summary>What can be wrong with what is heard.</summary>
public enum FindingKind
{
    PatchedButSilent,
    HeardButNotPatched,
    SourcesDisagree,
    BackupNeverSent,
    SourceStopped,
    LevelsFrozen,
    UniverseTooShort,
    PacketsLost,
    DroppedByThisMachine,
    TooMany,
    PreviewOnly,
    Malformed,
    OtherStartCodes,
}
