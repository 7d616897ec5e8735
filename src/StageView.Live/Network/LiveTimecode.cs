using StageView.Live.Night;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Time;

namespace StageView.Live.Network;

/// <summary>The ArtTimeCode that is heard, on a clock of its own because listeners come and go; starts, stops and jumps go into the journal.</summary>
internal sealed class LiveTimecode(TimeProvider clock, NightJournal journal) : IDatagramTap
{
    private readonly TimecodeTap _tap = new(TimeSpan.FromSeconds(1));
    private readonly long _start = clock.GetTimestamp();
    private long _told;

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload) =>
        _tap.OnDatagram(clock.GetElapsedTime(_start), from, to, payload);

    /// <summary>The label as of now, or the last one heard where it stands; null before the first.</summary>
    public (string Label, string Note)? Now() =>
        _tap.Read(clock.GetElapsedTime(_start)) is { } heard ? (heard.Label, TimecodeRateText.Of(heard.Rate) + (heard.Runs ? ", runs" : ", stands")) : null;

    /// <summary>Says in the journal what happened to it since the last call. One caller at a time.</summary>
    public void Tell()
    {
        foreach (var e in _tap.Since(clock.GetElapsedTime(_start), ref _told))
        {
            journal.Say("network", e.Kind switch
            {
                TimecodeEventKind.Started => $"timecode starts at {e.To}",
                TimecodeEventKind.Jumped => $"timecode jumps from {e.From} to {e.To}",
                TimecodeEventKind.Dropout => $"timecode is back at {e.To} after {e.Missing.TotalMilliseconds:0} ms without",
                TimecodeEventKind.Turned => $"timecode runs {(e.IsBackwards ? "backwards" : "forwards again")} from {e.From}",
                _ => $"timecode stops after {e.From}",
            });
        }
    }
}
