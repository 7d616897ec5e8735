using System.Globalization;

namespace StageView.Wire.Capture;

/// <summary>
/// Makes show time from a capture's stamps. Records of several interfaces may be a little out of order, which is left as it is. A few stamps that
/// lie far ahead or behind, with others after them where they should be, are a fault of the clock that wrote them: their packets count as sent when the
/// one before was. Where stamps go back for good the clock was set, and time goes on from there: what was played can't be taken back. A first stamp more
/// than a day before the second is none.
/// </summary>
internal sealed class StampClock
{
    /// <summary>Records in a row that may be wrong; more are a clock that was set.</summary>
    public const int MostAhead = 16;

    // Longer than any pause between a console's packets (E1.31 repeats within 1 s, Art-Net within 4 s) and than what interfaces are out of order.
    private static readonly long s_ahead = TimeSpan.FromSeconds(10).Ticks;
    private static readonly long s_back = TimeSpan.FromSeconds(1).Ticks;
    private static readonly long s_day = TimeSpan.FromDays(1).Ticks;
    private long _latest = long.MinValue;
    private bool _second;
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
        ({ } first, null) => first + Wrong(),
        (null, { } set) => set,
        ({ } first, { } set) => $"{first}{Wrong()}; {set}",
    };

    /// <summary>Whether a later stamp is where it is expected.</summary>
    public bool IsExpected(long ticks) => After(ticks) is var after && after > -s_back && after <= s_ahead;

    /// <summary>Goes on in the middle of a capture.</summary>
    /// <param name="firstTicks">Stamp of the capture's first record.</param>
    /// <param name="at">Time of the record that is read next.</param>
    public void GoOn(long firstTicks, TimeSpan at)
    {
        FirstTicks = firstTicks;
        _goOnAt = at.Ticks;
    }

    /// <summary>Whether a stamp lies so far from the one before that it may be wrong.</summary>
    public bool IsOdd(RawRecord record) => FirstTicks != long.MinValue && _goOnAt == long.MinValue && !IsExpected(record.Ticks);

    /// <summary>Show time of a record.</summary>
    /// <param name="record">The record.</param>
    /// <param name="wrong">Whether its stamp is odd, and others after it aren't.</param>
    public TimeSpan At(RawRecord record, bool wrong)
    {
        if (FirstTicks == long.MinValue)
        {
            FirstTicks = record.Ticks;
            _latest = 0;
            _second = true;
            return TimeSpan.Zero;
        }

        if (_second && After(record.Ticks) > s_day)
        {
            _first ??= "the first stamp";
            (_ran, _most) = (1, TimeSpan.FromTicks(After(record.Ticks)));
            FirstTicks = record.Ticks;
        }

        _second = false;
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
            _most = TimeSpan.FromTicks(Math.Max(_most.Ticks, Math.Abs(at - _latest)));
            _first ??= string.Create(CultureInfo.InvariantCulture, $"the stamp at byte {record.Offset}");
            at = _latest;
        }
        else if (_latest - at > s_back)
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

    private long After(long ticks) => ticks - FirstTicks + _shift - _latest;

    private string Wrong() => string.Create(CultureInfo.InvariantCulture,
        $"{(_ran > 1 ? $" and {_ran - 1} more are" : " is")} {_most.TotalSeconds:0.###} s off and those after it aren't: taken as of the record before");
}
