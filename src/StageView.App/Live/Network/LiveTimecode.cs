using StageView.Wire;
using StageView.Wire.ArtNet;
using StageView.Wire.Sockets;
using StageView.Wire.Time;

namespace StageView.App.Live;

/// <summary>Follows the ArtTimeCode that is heard; starts, stops and jumps go into the journal.</summary>
internal sealed class LiveTimecode(TimeProvider clock, NightJournal journal) : IDatagramTap
{
    /// <summary>The track keeps all that happened to it; a night's worth is begun anew now and then.</summary>
    private const int MostEvents = 200;

    private readonly Lock _gate = new();
    private readonly long _start = clock.GetTimestamp();
    private TimecodeTrack _track = new();
    private int _told;

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        // 'A' of "Art-Net": everything else is passed by with one look.
        if (payload.Length != ArtTimeCode.Length || payload[0] != (byte)'A' || !ArtTimeCode.TryParse(payload, out var timecode, out _))
        {
            return;
        }

        lock (_gate)
        {
            if (_track.Events.Count >= MostEvents && _told == _track.Events.Count)
            {
                _track = new TimecodeTrack();
                _told = 0;
            }

            _track.Add(new TimecodeAt(clock.GetElapsedTime(_start), timecode));
        }
    }

    /// <summary>The label as of now, or the last one heard where it stands; null before the first.</summary>
    public (string Label, string Note)? Now()
    {
        lock (_gate)
        {
            if (_track.Latest is not { } latest)
            {
                return null;
            }

            return _track.LabelAt(clock.GetElapsedTime(_start)) is { } runs
                ? (runs.ToString(), RateOf(runs) + ", runs")
                : (latest.Timecode.ToString(), RateOf(latest.Timecode) + ", stands");
        }
    }

    /// <summary>Says in the journal what happened to it since the last call.</summary>
    public void Tell()
    {
        lock (_gate)
        {
            _track.Advance(clock.GetElapsedTime(_start));
            for (; _told < _track.Events.Count; _told++)
            {
                var e = _track.Events[_told];
                journal.Say("network", e.Kind switch
                {
                    TimecodeEventKind.Started => $"timecode starts at {e.To}",
                    TimecodeEventKind.Jumped => $"timecode jumps from {e.From} to {e.To}",
                    TimecodeEventKind.Dropout => $"timecode is back at {e.To} after {e.Missing.TotalMilliseconds:0} ms without",
                    _ => $"timecode stops after {e.From}",
                });
            }
        }
    }

    internal static string RateOf(Timecode timecode) => timecode.Rate switch
    {
        TimecodeRate.Film24 => "24 frames/s",
        TimecodeRate.Ebu25 => "25 frames/s",
        TimecodeRate.Drop2997 => "29.97 frames/s, drop",
        _ => "30 frames/s",
    };
}
