using StageView.Rig.Pieces;
using StageView.Wire.Clock;

namespace StageView.Show.Content;

/// <summary>How long content has been on, by show time or by timecode.</summary>
public static class ContentTimes
{
    /// <summary>Time since its start in a source that has timecode, or has none; negative before it.</summary>
    /// <param name="placement">The content.</param>
    /// <param name="at">Show time.</param>
    /// <param name="track">The source's timecode; null where it has none.</param>
    /// <returns>Null where it starts at a timecode that is not there. By show time it starts in the middle of that label's frame, as a time that is named by it
    /// lies.</returns>
    public static TimeSpan? Since(ContentPlacement placement, TimeSpan at, TimecodeTrack? track)
    {
        ArgumentNullException.ThrowIfNull(placement);
        return placement.StartTimecode is not { } start ? at - placement.Start
            : placement.Clock == ContentClock.Timecode ? (track?.HeldAt(at) is { } now ? Since(placement, now) : null)
            : track is not null && track.TryFind(start, out var from, out var lasts) ? at - from - (lasts / 2) : null;
    }

    /// <summary>Time since its start as of a timecode, the shorter way round the day; negative before it.</summary>
    /// <returns>Null where its start is no label at this rate, or it starts at no timecode.</returns>
    public static TimeSpan? Since(ContentPlacement placement, Timecode now)
    {
        ArgumentNullException.ThrowIfNull(placement);
        return Timecode.TryParse(placement.StartTimecode, now.Rate, out var start) ? start.TimeTo(now) : null;
    }
}
