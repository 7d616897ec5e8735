using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Sockets;

namespace StageView.Wire.Time;

/// <summary>Follows the ArtTimeCode that a <see cref="LiveSource"/> hears. Safe to ask from another thread than the listening one.</summary>
/// <param name="freewheel">How long it runs on by itself when none comes.</param>
public sealed class TimecodeTap(TimeSpan freewheel) : IDatagramTap
{
    private static readonly TimeSpan s_together = TimeSpan.FromSeconds(1);

    private readonly Lock _gate = new();
    private readonly TimecodeLog _log = new(freewheel);
    private SourceAddress _from;
    private SourceAddress _other;
    private TimeSpan _otherAt = TimeSpan.MinValue;

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
    {
        // Everything but "Art-Net" is passed by with one look.
        if (payload.Length < ArtTimeCode.Length || payload[0] != (byte)'A' || !ArtTimeCode.TryParse(payload, out var timecode, out _))
        {
            return;
        }

        lock (_gate)
        {
            if (_log.Track.Latest is not null && !from.SameHost(_from))
            {
                (_other, _otherAt) = (_from, at);
            }

            _from = from;
            _log.Add(new TimecodeAt(at, timecode));
        }
    }

    /// <summary>What is heard; null before the first label.</summary>
    public TimecodeHealth? Read(TimeSpan now)
    {
        lock (_gate)
        {
            var track = _log.Track;
            track.Advance(now);
            if (track.Latest is not { } latest)
            {
                return null;
            }

            var other = _otherAt != TimeSpan.MinValue && now - _otherAt <= s_together ? Host(_other) : null;
            return new TimecodeHealth((track.LabelAt(now) ?? latest.Timecode).ToString(), latest.Timecode.Rate, track.RunsAt(now), Host(_from), other,
                _log.Events, _log.Happened);
        }
    }

    /// <summary>What happened since the last call with the same count; a flood's oldest are left out.</summary>
    /// <param name="now">On the clock of the datagrams.</param>
    /// <param name="seen">Events handed out so far, 0 at first; counted on here.</param>
    public IReadOnlyList<TimecodeEvent> Since(TimeSpan now, ref long seen)
    {
        lock (_gate)
        {
            return _log.Since(now, ref seen);
        }
    }

    /// <summary>The label that is counted at a time while it runs; null while none does.</summary>
    public Timecode? RunningAt(TimeSpan now)
    {
        lock (_gate)
        {
            return _log.Track.RunsAt(now) ? _log.Track.LabelAt(now) : null;
        }
    }

    private static string Host(SourceAddress address)
    {
        var text = address.ToString();
        return text[..text.LastIndexOf(':')];
    }
}
