using StageView.Show.Questions;
using StageView.Wire.Clock;

namespace StageView.Show.Recordings;

/// <summary>What a network was like while it was recorded.</summary>
/// <param name="Capture">The file's name.</param>
/// <param name="Rig">The rig's name.</param>
/// <param name="FirstRecordAt">When the recording began.</param>
/// <param name="Seconds">From its first record to its last, s.</param>
/// <param name="End">What was heard at its end, counted over the whole recording.</param>
/// <param name="Findings">What stood out at any time, faults first, then by when they began.</param>
/// <param name="Sources">Every source of every universe.</param>
/// <param name="Timecode">Starts, stops, jumps and dropouts of timecode.</param>
/// <param name="Skipped">Records that held no whole UDP datagram: other protocols, fragments, frames cut short.</param>
/// <param name="Problems">What is wrong with the file itself: where it is cut or damaged, which stamps are wrong.</param>
public sealed record RecordingAnswer(
    string Capture, string Rig, DateTimeOffset FirstRecordAt, double Seconds, NetworkLook End, IReadOnlyList<HeardFinding> Findings,
    IReadOnlyList<HeardSource> Sources, IReadOnlyList<TimecodeEvent> Timecode, long Skipped, IReadOnlyList<string> Problems)
{
    /// <summary>Whether a fault stood at any time.</summary>
    public bool AnyFault => Findings.Any(f => f.Finding.Stands);
}
