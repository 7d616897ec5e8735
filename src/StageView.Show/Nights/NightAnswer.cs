using StageView.Show.Load;
using StageView.Show.Recordings;
using StageView.Stage.Changes;
using StageView.Wire.Clock;

namespace StageView.Show.Nights;

/// <summary>Two nights of one show beside each other.</summary>
/// <param name="First">The night that is right.</param>
/// <param name="Second">The other.</param>
/// <param name="Alignment">How their times were matched, in words.</param>
/// <param name="Late">Cues that came at other times; none between two venues, where changes look different.</param>
/// <param name="TwoVenues">Whether the nights are of two venues or rigs.</param>
/// <param name="Looks">Where fixtures were in other states.</param>
/// <param name="Landings">In two venues: where light landed elsewhere.</param>
/// <param name="Missing">What only one of the nights has, in words.</param>
/// <param name="WentDark">Fixtures that lit in the first night and never in the second.</param>
/// <param name="NeverLit">Fixtures that lit in neither.</param>
/// <param name="Doubts">What was wrong with the captures.</param>
public sealed record NightAnswer(
    NightSide First, NightSide Second, string Alignment, IReadOnlyList<CueShift> Late, bool TwoVenues, IReadOnlyList<Parting> Looks,
    IReadOnlyList<Parting> Landings, IReadOnlyList<string> Missing, IReadOnlyList<string> WentDark, IReadOnlyList<string> NeverLit,
    IReadOnlyList<string> Doubts)
{
    /// <summary>Whether the second night was another than the first.</summary>
    public bool IsDifference => Late.Count + Looks.Count + Landings.Count + Missing.Count + WentDark.Count > 0;
}

/// <summary>One night.</summary>
/// <param name="Network">What its network was like.</param>
/// <param name="Load">What it drew.</param>
public sealed record NightSide(RecordingAnswer Network, LoadAnswer Load)
{
    /// <summary>Jumps and dropouts of timecode; starts and stops are none.</summary>
    public IReadOnlyList<TimecodeEvent> Dropouts => [.. Network.Timecode.Where(e => e.Kind is not (TimecodeEventKind.Started or TimecodeEventKind.Stopped))];
}

/// <summary>A cue that came at another time.</summary>
/// <param name="Title">Its name, or which change of the capture it is.</param>
/// <param name="FirstAt">When it began in the first night, s; null when it is in the second alone.</param>
/// <param name="FirstTimecode">Its label then; null where there is none.</param>
/// <param name="SecondAt">The same of the second night.</param>
/// <param name="SecondTimecode">The same.</param>
/// <param name="LateSeconds">How much later it came in the second, by timecode where both have it; negative for earlier; null when one lacks it.</param>
/// <param name="Followers">Changes after it that moved alike.</param>
public sealed record CueShift(
    string Title, double? FirstAt, string? FirstTimecode, double? SecondAt, string? SecondTimecode, double? LateSeconds, int Followers);
