using StageView.Live.Night;
using StageView.Wire.Clock;

namespace StageView.Live.Network;

/// <summary>
/// Says in the journal what happens to timecode. Of each kind a few within a minute are told one by one, the rest by their number once the minute is over.
/// </summary>
/// <param name="what">What timecode it is, as lines begin: <c>timecode</c>.</param>
internal sealed class TimecodeTeller(TimeProvider clock, NightJournal journal, string what)
{
    private const int MostOneByOne = 3;
    private static readonly TimeSpan s_minute = TimeSpan.FromMinutes(1);
    private readonly Dictionary<TimecodeEventKind, (long Since, int Count)> _recent = [];

    public void Tell(IReadOnlyList<TimecodeEvent> events)
    {
        foreach (var e in events)
        {
            var (since, count) = _recent.GetValueOrDefault(e.Kind, (clock.GetTimestamp(), 0));
            _recent[e.Kind] = (since, count + 1);
            if (count < MostOneByOne)
            {
                journal.Say("network", Words(e));
            }
        }

        foreach (var (kind, (_, count)) in _recent.Where(r => clock.GetElapsedTime(r.Value.Since) >= s_minute).ToList())
        {
            _recent.Remove(kind);
            if (count > MostOneByOne)
            {
                journal.Say("network", $"{what}: {count - MostOneByOne} more {Many(kind)} within a minute");
            }
        }
    }

    private string Words(TimecodeEvent e) => e.Kind switch
    {
        TimecodeEventKind.Started => $"{what} starts at {e.To}",
        TimecodeEventKind.Jumped => $"{what} jumps from {e.From} to {e.To}",
        TimecodeEventKind.Dropout => $"{what} is back at {e.To} after {e.Missing.TotalMilliseconds:0} ms without",
        TimecodeEventKind.Turned => $"{what} runs {(e.IsBackwards ? "backwards" : "forwards again")} from {e.From}",
        _ => $"{what} stops after {e.From}",
    };

    private static string Many(TimecodeEventKind kind) => kind switch
    {
        TimecodeEventKind.Started => "starts",
        TimecodeEventKind.Jumped => "jumps",
        TimecodeEventKind.Dropout => "dropouts",
        TimecodeEventKind.Turned => "turns round",
        _ => "stops",
    };
}
