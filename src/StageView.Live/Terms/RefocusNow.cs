namespace StageView.Live.Terms;

/// <summary>How the positions of the show stand in another venue, as the page shows it with every state.</summary>
/// <param name="Missing">What was not given, and what to give; null where the show and the venues are known.</param>
internal sealed record RefocusNow(string? Missing)
{
    /// <summary>The old venue; empty for the rig as it is.</summary>
    public string From { get; init; } = "";

    /// <summary>The new venue; empty for the rig as it is.</summary>
    public string To { get; init; } = "";

    /// <summary>Where the positions come from: the name of a capture or of a folder of looks.</summary>
    public string Show { get; init; } = "";

    /// <summary>Whether it is being worked out.</summary>
    public bool Working { get; init; }

    /// <summary>What was saved since the answer that is shown, or null.</summary>
    public string? Stale { get; init; }

    /// <summary>Why there is no answer, or none to the files as they stand; or null.</summary>
    public string? Trouble { get; init; }

    /// <summary>Of the answer, from 1; 0 while there is none.</summary>
    public int Version { get; init; }

    /// <summary>Grows with every tick.</summary>
    public int Ticks { get; init; }

    /// <summary>Positions that are ticked, of those that somebody has to do something about.</summary>
    public int Done { get; init; }

    /// <summary>Positions that somebody has to do something about.</summary>
    public int Of { get; init; }

    /// <summary>Positions that are as they were.</summary>
    public int Kept { get; init; }

    /// <summary>Ticks that count no longer, a line each.</summary>
    public IReadOnlyList<string> Dropped { get; init; } = [];

    /// <summary>Why ticks can't be kept, or null.</summary>
    public string? FileTrouble { get; init; }

    /// <summary>The file that keeps the ticks.</summary>
    public string File { get; init; } = "";
}

/// <summary>Some of the positions, the worst first.</summary>
/// <param name="Version">Of the answer.</param>
/// <param name="Total">Positions in all.</param>
/// <param name="NotAsked">What was not looked at.</param>
internal sealed record RefocusRows(int Version, int Total, IReadOnlyList<RefocusLine> Rows, IReadOnlyList<string> NotAsked);

/// <param name="Row">Its place in the answer, from 0.</param>
/// <param name="Seconds">When it is first used, show time, s.</param>
/// <param name="State">In words.</param>
/// <param name="Weight"><c>trouble</c>, <c>warning</c>, <c>note</c> or <c>kept</c>.</param>
/// <param name="For">What it is for.</param>
/// <param name="Why">Why that is thought.</param>
/// <param name="OldWay">The axis in the old venue, m: lens, mirrors, landing.</param>
/// <param name="Way">The same in the new venue; empty where there are no new values.</param>
/// <param name="At">Where what it is for is in the new venue, m, or null.</param>
/// <param name="Dmx">Addresses and the values to send.</param>
internal sealed record RefocusLine(
    int Row, string Fixture, string Number, string Hang, int Position, IReadOnlyList<string> Cues, double Seconds, string State, string Weight, string For,
    string Why, string Remark, float OldPan, float OldTilt, float? Pan, float? Tilt, double? Lux, double? Spot, IReadOnlyList<float[]> OldWay,
    IReadOnlyList<float[]> Way, float[]? At, IReadOnlyList<string> Dmx);

/// <summary>What was ticked since the page last asked.</summary>
/// <param name="Version">Of the answer.</param>
/// <param name="Ticks">As in the state.</param>
internal sealed record RefocusTicks(int Version, int Ticks, IReadOnlyList<RefocusTick> Changed);

/// <param name="On">Whether it is ticked, and the tick counts.</param>
/// <param name="By">Who, or empty.</param>
/// <param name="At">When, local time.</param>
/// <param name="Words">Why an earlier tick counts no longer, or empty.</param>
internal sealed record RefocusTick(int Row, bool On, string By, string At, string Words);
