using System.Globalization;

namespace StageView.Live.Night;

/// <summary>
/// Notices that this program, its machine or its clock stood still. The monotonic clock goes on while a program is
/// stopped, but on Linux not while the machine sleeps; the wall clock does: each is compared with what was expected.
/// </summary>
internal sealed class SleepWatch(TimeProvider clock)
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(20);
    private long _tick = clock.GetTimestamp();
    private DateTimeOffset _wall = clock.GetUtcNow();

    /// <summary>To be called every second or so.</summary>
    /// <param name="asleep">Whether sockets and groups may have been lost meanwhile.</param>
    /// <returns>What to say, or null.</returns>
    public string? Look(out bool asleep)
    {
        var (tick, wall) = (clock.GetTimestamp(), clock.GetUtcNow());
        var (ran, walled) = (clock.GetElapsedTime(_tick, tick), wall - _wall);
        (_tick, _wall) = (tick, wall);
        asleep = ran > Longest || walled - ran > Longest;
        return ran > Longest ? $"this program was stopped for {Words(ran)}"
            : asleep ? $"this machine was asleep for {Words(walled - ran)}, or its clock was set on by that"
            : ran - walled > Longest ? $"this machine's clock was set back by {Words(ran - walled)}; times from here on are by the new one"
            : null;
    }

    private static string Words(TimeSpan span)
    {
        var s = (long)Math.Round(span.TotalSeconds);
        return s < 120 ? string.Create(CultureInfo.InvariantCulture, $"{s} s")
            : string.Create(CultureInfo.InvariantCulture, $"{s / 3600}:{s / 60 % 60:00}:{s % 60:00} h");
    }
}
