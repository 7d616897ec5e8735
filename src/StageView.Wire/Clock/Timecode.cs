using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace StageView.Wire.Clock;

/// <summary>A timecode label, written <c>HH:MM:SS:FF</c> (<c>HH:MM:SS;FF</c> for drop-frame).</summary>
/// <param name="Hours">0 to 23.</param>
/// <param name="Minutes">0 to 59.</param>
/// <param name="Seconds">0 to 59.</param>
/// <param name="Frames">0 to the rate's count less one.</param>
/// <param name="Rate">Frames a second.</param>
public readonly record struct Timecode(int Hours, int Minutes, int Seconds, int Frames, TimecodeRate Rate)
{
    /// <summary>Numbers a second: 24, 25 or 30.</summary>
    public static int Count(TimecodeRate rate) => rate switch { TimecodeRate.Film24 => 24, TimecodeRate.Ebu25 => 25, _ => 30 };

    /// <summary>Seconds that one frame lasts.</summary>
    public static double FrameSeconds(TimecodeRate rate) => rate == TimecodeRate.Drop2997 ? 1001.0 / 30_000 : 1.0 / Count(rate);

    /// <summary>Frames of a day.</summary>
    public static int DayFrames(TimecodeRate rate) => rate == TimecodeRate.Drop2997 ? 2_589_408 : Count(rate) * 86_400;

    /// <summary>Whether the label exists: in range, and not one that drop-frame leaves out.</summary>
    public bool IsValid =>
        Hours is >= 0 and < 24 && Minutes is >= 0 and < 60 && Seconds is >= 0 and < 60 && Frames >= 0 && Frames < Count(Rate)
        && !(Rate == TimecodeRate.Drop2997 && Seconds == 0 && Frames < 2 && Minutes % 10 != 0);

    /// <summary>
    /// Frames since midnight. Drop-frame (SMPTE 12M): with M minutes in all, N = 30 (3600 h + 60 m + s) + f - 2 (M - floor(M / 10)).
    /// </summary>
    public int FrameNumber
    {
        get
        {
            var minutes = (60 * Hours) + Minutes;
            var n = (((60 * minutes) + Seconds) * Count(Rate)) + Frames;
            return Rate == TimecodeRate.Drop2997 ? n - (2 * (minutes - (minutes / 10))) : n;
        }
    }

    /// <summary>Time since midnight at the rate's real length of a frame.</summary>
    public TimeSpan SinceMidnight => TimeSpan.FromSeconds(FrameNumber * FrameSeconds(Rate));

    /// <summary>Frames to another label, the shorter way round the day: 1 from 23:59:59:24 to 00:00:00:00 (SMPTE 12M counts a day round).</summary>
    /// <param name="to">Of the same rate; labels of another are counted from midnight.</param>
    public int FramesTo(Timecode to)
    {
        var day = DayFrames(Rate);
        var on = to.FrameNumber - FrameNumber;
        return Rate != to.Rate ? on : on > day / 2 ? on - day : on < -day / 2 ? on + day : on;
    }

    /// <summary>Time to another label at each one's own rate, the shorter way round the day.</summary>
    public TimeSpan TimeTo(Timecode to)
    {
        var day = TimeSpan.FromSeconds(DayFrames(Rate) * FrameSeconds(Rate));
        var on = to.SinceMidnight - SinceMidnight;
        return on > day / 2 ? on - day : on < -day / 2 ? on + day : on;
    }

    /// <param name="number">Frames since midnight; days wrap.</param>
    /// <param name="rate">Frames a second.</param>
    public static Timecode FromFrameNumber(int number, TimecodeRate rate)
    {
        var n = ((number % DayFrames(rate)) + DayFrames(rate)) % DayFrames(rate);
        if (rate == TimecodeRate.Drop2997)
        {
            // Ten minutes hold 17,982 frames; the first of them 1,800, the other nine 1,798.
            var tens = n / 17_982;
            var rest = n % 17_982;
            n += (18 * tens) + (rest < 1_800 ? 0 : 2 * (1 + ((rest - 1_800) / 1_798)));
        }

        var count = Count(rate);
        var seconds = n / count;
        return new Timecode(seconds / 3600, seconds / 60 % 60, seconds % 60, n % count, rate);
    }

    /// <summary>
    /// Reads <c>HH:MM:SS:FF</c>; the last separator may be <c>;</c> or <c>.</c> for drop-frame. The rate is the caller's, since the text doesn't tell it.
    /// </summary>
    public static bool TryParse([NotNullWhen(true)] string? text, TimecodeRate rate, out Timecode timecode)
    {
        timecode = default;
        var parts = (text ?? "").Split(':', ';', '.');
        if (parts.Length != 4)
        {
            return false;
        }

        Span<int> numbers = stackalloc int[4];
        for (var i = 0; i < 4; i++)
        {
            if (parts[i].Length is < 1 or > 2 || !int.TryParse(parts[i], NumberStyles.None, CultureInfo.InvariantCulture, out numbers[i]))
            {
                return false;
            }
        }

        timecode = new Timecode(numbers[0], numbers[1], numbers[2], numbers[3], rate);
        return timecode.IsValid;
    }

    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture, $"{Hours:D2}:{Minutes:D2}:{Seconds:D2}{(Rate == TimecodeRate.Drop2997 ? ';' : ':')}{Frames:D2}");
}
