using System.Globalization;

namespace StageView.Wire.Capture;

/// <summary>
/// Makes show time from a capture's stamps. Records of several interfaces may be a little out of order, which is left as it is. A few stamps that
/// run far ahead and come back are a fault of the clock that wrote them: their packets count as sent when the one before was. Where stamps go back
/// for good the clock was set, and time goes on from there: what was played can't be taken back.
/// </summary>
internal sealed class StampClock
{
    /// <summary>Records in a row that may run ahead; more are a clock that was set.</summary>
    public const int MostAhead = 16;

    // Longer than any pause between a console's packets (E1.31 repeats within 1 s, Art-Net within 4 s) and than what interfaces are out of order.
    private static readonly long s_ahead = TimeSpan.FromSeconds(10).Ticks;
    private static readonly long s_back = TimeSpan.FromSeconds(1).Ticks;
    private long _latest = long.MinValue;
    private long _shift;
    private long _goOnAt = long.MinValue;
    private int _ran;
    private TimeSpan _most;
    private string? _first;
    private string? _set;

    /// <summary>Stamp of the first record, in 100 ns since 1970; <see cref="long.MinValue"/> before it.</summary>
    public long FirstTicks { get; private set; } = long.MinValue;

    /// <summary>What was wrong, or null.</summary>
    public string? Problem => (_first, _set) switch
    {
        (null, null) => null,
        ({ } first, null) => first + Ahead(),
        (null, { } set) => set,
        ({ } first, { } set) => $"{first}{Ahead()}; {set}",
    };

    /// <summary>Whether a later stamp is back before one that ran ahead.</summary>
    public static bool IsBack(long ticks, long later) => ticks - later > s_back;

    /// <summary>Goes on in the middle of a capture.</summary>
    /// <param name="firstTicks">Stamp of the capture's first record.</param>
    /// <param name="at">Time of the record that is read next.</param>
    public void GoOn(long firstTicks, TimeSpan at)
    {
        FirstTicks = firstTicks;
        _goOnAt = at.Ticks;
    }

    /// <summary>Whether a stamp lies so far after the one before that it may be wrong.</summary>
    public bool RunsAhead(RawRecord record) =>
        FirstTicks != long.MinValue && _goOnAt == long.MinValue && record.Ticks - FirstTicks + _shift - _latest > s_ahead;

    /// <summary>Show time of a record.</summary>
    /// <param name="record">The record.</param>
    /// <param name="wrong">Whether its stamp runs ahead and comes back.</param>
    public TimeSpan At(RawRecord record, bool wrong)
    {
        if (FirstTicks == long.MinValue)
        {
            FirstTicks = record.Ticks;
            _latest = 0;
        }

        var at = record.Ticks - FirstTicks + _shift;
        if (_goOnAt != long.MinValue)
        {
            // The clock may have been set before this record; a little out of order is no such thing.
            _shift = Math.Abs(_goOnAt - at) > s_back ? _goOnAt - (record.Ticks - FirstTicks) : 0;
            at = record.Ticks - FirstTicks + _shift;
            (_latest, _goOnAt) = (at, long.MinValue);
        }
        else if (wrong)
        {
            _ran++;
            _most = TimeSpan.FromTicks(Math.Max(_most.Ticks, at - _latest));
            _first ??= string.Create(CultureInfo.InvariantCulture, $"the stamp at byte {record.Offset}");
            at = _latest;
        }
        else if (IsBack(_latest, at))
        {
            _set ??= string.Create(CultureInfo.InvariantCulture,
                $"stamps go back by {TimeSpan.FromTicks(_latest - at).TotalSeconds:0.###} s at byte {record.Offset}: a clock that was set, or two captures in "
                + $"one; time goes on from there");
            _shift += _latest - at;
            at = _latest;
        }

        _latest = Math.Max(_latest, at);
        return TimeSpan.FromTicks(Math.Max(0, at));
    }

    private string Ahead() => string.Create(CultureInfo.InvariantCulture,
        $"{(_ran > 1 ? $" and {_ran - 1} more run" : " runs")} {_most.TotalSeconds:0.###} s ahead and back: taken as of the record before");
}
