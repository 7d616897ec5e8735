using System.Globalization;

namespace StageView.Live.Night;

/// <summary>
/// Notices that this program, its machine or its clock stood still. The monotonic clock goes on while a program is
/// stopped, but on Linux not while the machine sleeps; the wall clock does: each is compared with what was expected.
/// Whether the program was stopped is told by a timer of its own: whoever looks may have been held up by its own work.
/// </summary>
internal sealed class SleepWatch : IDisposable
{
    private static readonly TimeSpan Longest = TimeSpan.FromSeconds(20);
    private static readonly TimeSpan BeatEvery = TimeSpan.FromSeconds(1);
    private readonly TimeProvider _clock;
    private readonly Lock _gate = new();
    private readonly ITimer _beats;
    private long _tick;
    private DateTimeOffset _wall;
    private long _beat;
    private TimeSpan _longest;

    public SleepWatch(TimeProvider clock)
    {
        _clock = clock;
        _tick = _beat = clock.GetTimestamp();
        _wall = clock.GetUtcNow();
        _beats = clock.CreateTimer(_ => Beat(), null, BeatEvery, BeatEvery);
    }

    /// <summary>To be called now and then; by one caller at a time.</summary>
    /// <param name="asleep">Whether sockets and groups may have been lost meanwhile.</param>
    /// <returns>What to say, or null.</returns>
    public string? Look(out bool asleep)
    {
        var stopped = Stopped();
        var (tick, wall) = (_clock.GetTimestamp(), _clock.GetUtcNow());
        var (ran, walled) = (_clock.GetElapsedTime(_tick, tick), wall - _wall);
        (_tick, _wall) = (tick, wall);
        asleep = stopped > Longest || walled - ran > Longest;
        return stopped > Longest ? $"this program was stopped for {Words(stopped)}"
            : asleep ? $"this machine was asleep for {Words(walled - ran)}, or its clock was set on by that"
            : ran - walled > Longest ? $"this machine's clock was set back by {Words(ran - walled)}; times from here on are by the new one"
            : null;
    }

    public void Dispose() => _beats.Dispose();

    /// <summary>The longest time without a beat since this was asked last.</summary>
    private TimeSpan Stopped()
    {
        Beat();
        lock (_gate)
        {
            var longest = _longest;
            _longest = TimeSpan.Zero;
            return longest;
        }
    }

    private void Beat()
    {
        lock (_gate)
        {
            var now = _clock.GetTimestamp();
            var without = _clock.GetElapsedTime(_beat, now);
            _longest = without > _longest ? without : _longest;
            _beat = now;
        }
    }

    private static string Words(TimeSpan span)
    {
        var s = (long)Math.Round(span.TotalSeconds);
        return s < 120 ? string.Create(CultureInfo.InvariantCulture, $"{s} s")
            : string.Create(CultureInfo.InvariantCulture, $"{s / 3600}:{s / 60 % 60:00}:{s % 60:00} h");
    }
}
