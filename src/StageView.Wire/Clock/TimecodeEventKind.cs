namespace StageView.Wire.Clock;

/// <summary>What can happen to running timecode.</summary>
public enum TimecodeEventKind
{
    Started,

    /// <summary>A label other than the next one.</summary>
    Jumped,

    /// <summary>Labels were missing, and came back where they should be; bridged by freewheeling.</summary>
    Dropout,

    /// <summary>No label for longer than the freewheel time, or the same one again and again.</summary>
    Stopped,

    /// <summary>It runs backwards from here, or forwards again: tape that is wound back, or played so.</summary>
    Turned,
}
