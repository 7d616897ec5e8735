
namespace StageView.Live.Terms;

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
    CautionsState Cautions,
    ScanState? CautionScan,
    EditState Edits,
    MarkerState? Marker,
    GroupState? Group = null)
{
    /// <summary>The last minutes that are kept without a recording; null when none are.</summary>
    public LastState? Last { get; init; }

    /// <summary>The sound input that is listened to for timecode; null where none is.</summary>
    public LtcState? Ltc { get; init; }

    /// <summary>What is looked at as if it were so, or null.</summary>
    public AsIfState? AsIf { get; init; }

    /// <summary>A cue file that is being played into levels, or null.</summary>
    public MakingState? Making { get; init; }

    /// <summary>Notes and cameras kept beside the rig file; null where nothing keeps them.</summary>
    public NotesState? Notes { get; init; }

    /// <summary>What the rig names as content over its pixels, in its order; null where it names none.</summary>
    public IReadOnlyList<ContentLine>? Content { get; init; }

    /// <summary>The positions of the show in another venue.</summary>
    public RefocusNow? Refocus { get; init; }
}

/// <param name="Listening">Addresses listened on.</param>
/// <param name="Trouble">Why nothing can be heard, or null.</param>
internal sealed record NetworkState(
    IReadOnlyList<string> Listening,
    double PacketsPerSecond,
    IReadOnlyList<UniverseLine> Universes,
    IReadOnlyList<FindingLine> Findings,
    string? Trouble)
{
    /// <summary>The worst of what is patched.</summary>
    public NetworkStanding Standing { get; } = NetworkStanding.Of(Listening.Count > 0, Universes);
}

/// <param name="State"><c>heard</c>, <c>silent</c> (patched, nothing comes), <c>lost</c> (came, comes no more) or <c>unpatched</c> (comes, nothing is patched
/// there).</param>
internal sealed record UniverseLine(int Universe, string State, double Rate, int Fixtures, IReadOnlyList<SourceLine> Sources)
{
    /// <summary>Whether a fault of it stands among the findings.</summary>
    public bool Wrong { get; init; }

    /// <summary>Addresses that sources of the highest priority fight over, 0 to 512.</summary>
    public int Fought { get; init; }
}

/// <param name="Rate">Packets a second.</param>
/// <param name="State"><c>sending</c>, <c>ignored</c> (heard, in force nowhere), <c>held</c> (its last levels are held), <c>lost</c> or <c>ended</c>.</param>
/// <param name="Share">Whether its levels are among those in force.</param>
/// <param name="Wins">Addresses at which its level is in force, 0 to 512.</param>
/// <param name="Of">Addresses that it sources, 0 to 512.</param>
/// <param name="Why">What of it is in force, or why nothing is, in words.</param>
internal sealed record SourceLine(
    string Name, string Address, string Protocol, int Priority, double Rate, string State, bool Share, int Wins, int Of, string Why);

/// <param name="Weight"><c>note</c>, <c>warning</c> or <c>trouble</c>.</param>
internal sealed record FindingLine(string Weight, int? Universe, string Text);

/// <param name="Length">s; grows until the capture was read through.</param>
/// <param name="Position">s from its start.</param>
/// <param name="Speed">Times the pace it was recorded at.</param>
/// <param name="Cues">Its named times, in order of time.</param>
internal sealed record CaptureState(string Name, double Length, double Position, bool Playing, double Speed, IReadOnlyList<CueLine> Cues)
{
    /// <summary>The music to it, or null.</summary>
    public SoundLine? Sound { get; init; }

    /// <summary>Changes found in its levels, in order of time; empty until it was read through.</summary>
    public IReadOnlyList<ChangeLine> Changes { get; init; } = [];

    /// <summary>Whether it is minutes that were frozen and are gone in the end unless they are saved.</summary>
    public bool Frozen { get; init; }
}

/// <summary>The last minutes that are kept without a recording.</summary>
/// <param name="Seconds">How far back they go, s.</param>
/// <param name="Bytes">On disk.</param>
/// <param name="Trouble">Why they are not all there, or null.</param>
internal sealed record LastState(double Seconds, long Bytes, string? Trouble);

/// <summary>Music to a capture.</summary>
/// <param name="Start">When it begins, s from the capture's start.</param>
internal sealed record SoundLine(string Name, double Start);

/// <summary>A cue file that is being played into levels.</summary>
/// <param name="Share">How much of it is done, 0 to 1.</param>
internal sealed record MakingState(string Name, double Share);

/// <summary>A time of a capture that has a name.</summary>
/// <param name="Seconds">s from the capture's start.</param>
internal sealed record CueLine(string Name, double Seconds)
{
    /// <summary>The capture's timecode there, or null.</summary>
    public string? Timecode { get; init; }
}

/// <summary>A change found in the levels.</summary>
/// <param name="Seconds">s from the capture's start.</param>
/// <param name="Timecode">The capture's timecode there, or null.</param>
/// <param name="Channels">Addresses that move.</param>
/// <param name="Flash">Whether the levels are back soon.</param>
internal sealed record ChangeLine(double Seconds, string? Timecode, int Channels, bool Flash);

/// <summary>A capture that can be opened.</summary>
/// <param name="Seconds">Its length, s; null where it isn't known.</param>
internal sealed record CaptureLine(string Name, double? Seconds);

internal sealed record RecorderState(bool On, string? Name, double Seconds, long Bytes, string? Trouble);

/// <summary>The rig file can't be read; the last good rig is shown.</summary>
internal sealed record RigFault(string File, double ForSeconds, IReadOnlyList<FaultLine> Lines);

/// <param name="Excerpt">The line of the file, as it stands.</param>
internal sealed record FaultLine(string File, int Line, string Path, string Text, string Excerpt);

/// <summary>Reasons to look, with what was looked at and what was not.</summary>
/// <param name="Over">What was looked at: the show since a time of day, or a whole capture.</param>
/// <param name="More">Rows that are not among <paramref name="Rows"/>.</param>
/// <param name="Nothing">Why nothing could be checked, or null.</param>
/// <param name="Looked">What was looked at, with the limits used.</param>
/// <param name="NotLooked">What was not, and why.</param>
internal sealed record CautionsState(
    string Over, IReadOnlyList<CautionLine> Rows, int More, string? Nothing, IReadOnlyList<string> Looked, IReadOnlyList<string> NotLooked, string Deference)
{
    /// <summary>Those of what is shown no more, the newest first.</summary>
    public IReadOnlyList<EarlierCaution> Earlier { get; init; } = [];
}

/// <param name="Of">What was shown.</param>
/// <param name="When">When it was found last, in words.</param>
internal sealed record EarlierCaution(string Kind, string Text, string Of, string When);

/// <param name="Kind"><c>light</c>, <c>laser</c>, <c>strobe</c> or <c>moving</c>.</param>
/// <param name="Fixture">Its name, or null for all light together.</param>
/// <param name="At">When it was strongest, show time, s.</param>
/// <param name="From">When it was first found, show time, s.</param>
/// <param name="To">When it was last found, show time, s.</param>
/// <param name="Now">Whether the newest look found it too.</param>
/// <param name="Point">Where it was strongest, m.</param>
/// <param name="CanSeek">Whether its time can be gone to.</param>
internal sealed record CautionLine(
    string Kind, string Text, string Usual, string? Fixture, double At, double From, double To, bool Now, float[] Point, bool CanSeek)
{
    /// <summary>What tells it from the other rows, and stays as its numbers grow.</summary>
    public string Key { get; init; } = "";
}

/// <param name="Running">Whether it goes on.</param>
/// <param name="Share">How much of the capture was looked through, 0 to 1.</param>
/// <param name="Trouble">Why it ended early, or what was wrong with the capture; or null.</param>
internal sealed record ScanState(bool Running, double Share, string? Trouble);

internal sealed record EditState(bool CanUndo, bool CanRedo, string? Last);

/// <param name="Level">The marker level that came in last.</param>
/// <param name="ToWindowMs">Packet sent to pixel in the window's frame, ms (median), or null.</param>
/// <param name="ToPageMs">Packet sent to pixel in the page's frame, ms (median), or null.</param>
internal sealed record MarkerState(int Level, double? ToWindowMs, double? ToPageMs, int Seen)
{
    /// <summary>The same of levels that came when everything was at rest, ms (median), or null.</summary>
    public double? FromRestToWindowMs { get; init; }

    /// <summary>The same of the page, ms (median), or null.</summary>
    public double? FromRestToPageMs { get; init; }
}
