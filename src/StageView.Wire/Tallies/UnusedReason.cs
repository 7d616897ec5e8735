namespace StageView.Wire.Tallies;

/// <summary>Why a source is ignored, held or gone.</summary>
public enum UnusedReason
{
    /// <summary>It is in force.</summary>
    None,

    /// <summary>Preview data, which the settings refuse.</summary>
    PreviewRefused,

    /// <summary>Its per-address priority is 0 wherever it sends a level: it sources nothing.</summary>
    PrioritiesZero,

    /// <summary>Of one address: its packets end before it.</summary>
    NotSent,

    /// <summary>Others have a higher priority at each of its addresses.</summary>
    LowerPriority,

    /// <summary>Others of its priority send higher levels.</summary>
    LowerLevel,

    /// <summary>Others of its priority changed their levels later.</summary>
    OlderLevel,

    /// <summary>New, and its per-address priorities are still waited for.</summary>
    WaitsForPriorities,

    /// <summary>Its first levels wait for their synchronisation packet.</summary>
    WaitsForSynchronisation,

    /// <summary>It sends packets without levels alone.</summary>
    NoLevels,

    /// <summary>It fell silent without saying so.</summary>
    Silent,

    /// <summary>It said that it ends.</summary>
    Ended,
}
