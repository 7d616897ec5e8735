namespace StageView.Wire.Datagrams;

/// <summary>What is wrong with bytes that were refused.</summary>
public enum RefusalKind
{
    None,
    NotThisProtocol,
    TooShort,
    BadLength,
    BadField,
    UniverseOutOfRange,
    PriorityOutOfRange,
    OldVersion,
}
