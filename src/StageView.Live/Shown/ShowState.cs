namespace StageView.Live.Shown;

/// <summary>What the page shows beside the picture, as of one instant.</summary>
/// <param name="Source"><c>network</c>, <c>capture</c> or <c>look</c>.</param>
/// <param name="Seconds">Show time, s.</param>
/// <param name="Timecode">The newest timecode heard, <c>hh:mm:ss:ff</c>, or null.</param>
/// <param name="TimecodeNote">Its rate, and whether it still runs.</param>
internal sealed record ShowState(
    int RigVersion,
    string Source,
    string SourceName,
    double Seconds,
    string? Timecode,
    string? TimecodeNote,
    NetworkState Network,
    CaptureState? Capture,
    RecorderState Recorder,
    RigFault? Fault,
    IReadOnlyList<CautionLine> Cautions,
    EditState Edits,
    MarkerState? Marker);

/// <param name="Listening">Addresses listened on.</param>
/// <param name="Trouble">Why nothing can be heard, or null.</param>
internal sealed record NetworkState(
    IReadOnlyList<string> Listening,
    double PacketsPerSecond,
    IReadOnlyList<UniverseLine> Universes,
    IReadOnlyList<FindingLine> Findings,
    string? Trouble);

/// <param name="State"><c>heard</c>, <c>silent</c> (patched, nothing comes), <c>lost</c> (came, comes no more) or <c>unpatched</c> (comes, nothing is patched there).</param>
internal sealed record UniverseLine(int Universe, string State, double Rate, int Fixtures, IReadOnlyList<SourceLine> Sources);

/// <param name="Share">Whether its levels are among those shown.</param>
internal sealed record SourceLine(string Name, string Address, string Protocol, int Priority, double Rate, string State, bool Share);

/// <param name="Weight"><c>note</c>, <c>warning</c> or <c>trouble</c>.</param>
internal sealed record FindingLine(string Weight, int? Universe, string Text);

internal sealed record CaptureState(string Name, double Length, double Position, bool Playing, double Speed);

/// <summary>A capture that can be opened.</summary>
/// <param name="Seconds">Its length, s; null where it isn't known.</param>
internal sealed record CaptureLine(string Name, double? Seconds);

internal sealed record RecorderState(bool On, string? Name, double Seconds, long Bytes, string? Trouble);

/// <summary>The rig file can't be read; the last good rig is shown.</summary>
internal sealed record RigFault(string File, double ForSeconds, IReadOnlyList<FaultLine> Lines);

/// <param name="Excerpt">The line of the file, as it stands.</param>
internal sealed record FaultLine(string File, int Line, string Path, string Text, string Excerpt);

internal sealed record CautionLine(string Kind, string Text, string Usual, int? Fixture);

internal sealed record EditState(bool CanUndo, bool CanRedo, string? Last);

/// <param name="Level">The marker level that came in last.</param>
/// <param name="ToWindowMs">Packet sent to pixel in the window's frame, ms (median), or null.</param>
/// <param name="ToPageMs">Packet sent to pixel in the page's frame, ms (median), or null.</param>
internal sealed record MarkerState(int Level, double? ToWindowMs, double? ToPageMs, int Seen);
