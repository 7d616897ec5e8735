using StageView.Wire.Clock;

namespace StageView.Wire.Time;

/// <summary>A <see cref="TimecodeTrack"/> for a whole night: what is kept is bounded, and what happened is handed out as it happens.</summary>
/// <param name="freewheel">How long it runs on by itself when none comes.</param>
public sealed class TimecodeLog(TimeSpan freewheel)
{
    // The track keeps all that happened to it, so it is begun anew now and then; told are its first event and its latest.
    private const int MostEvents = 1000;
    private const int Told = 5;

    private TimecodeEvent[] _earlier = [];
    private TimecodeEvent? _first;
    private long _dropped;

    /// <summary>The track as of now; another one after some thousand events.</summary>
    public TimecodeTrack Track { get; private set; } = new(freewheel);

    /// <summary>How many events there were altogether.</summary>
    public long Happened => _dropped + Track.Events.Count;

    /// <summary>The first and the latest events, oldest first.</summary>
    public IReadOnlyList<TimecodeEvent> Events => Happened <= Told ? [.. Track.Events] : [_first!, .. _earlier.Concat(Track.Events).TakeLast(Told - 1)];

    /// <summary>Takes a label. Times must not decrease.</summary>
    public void Add(TimecodeAt label)
    {
        if (Track.Events.Count >= MostEvents)
        {
            _earlier = [.. Track.Events.TakeLast(Told)];
            _dropped += Track.Events.Count;
            Track = new TimecodeTrack(freewheel);
        }

        Track.Add(label);
        _first ??= Track.Events[0];
    }

    /// <summary>What happened since the last call with the same count; a flood's oldest are left out.</summary>
    /// <param name="now">On the clock of the labels.</param>
    /// <param name="seen">Events handed out so far, 0 at first; counted on here.</param>
    public IReadOnlyList<TimecodeEvent> Since(TimeSpan now, ref long seen)
    {
        Track.Advance(now);
        var fresh = (int)Math.Min(Happened - seen, _earlier.Length + Track.Events.Count);
        seen = Happened;
        return [.. _earlier.Concat(Track.Events).TakeLast(fresh)];
    }
}
