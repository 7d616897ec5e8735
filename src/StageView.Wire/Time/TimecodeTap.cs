using StageView.Wire.ArtNet;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Sockets;

namespace StageView.Wire.Time;

/// <summary>Follows the ArtTimeCode that a <see cref="LiveSource"/> hears. Safe to ask from another thread than the listening one.</summary>
/// <param name="freewheel">How long it runs on by itself when none comes.</param>
public sealed class TimecodeTap(TimeSpan freewheel) : IDatagramTap
{
    // The track keeps all that happened to it, so it is begun anew now and then; told are its first event and its latest.
    private const int MostEvents = 1000;
    private const int Told = 5;
    private static readonly TimeSpan s_together = TimeSpan.FromSeconds(1);

    private readonly Lock _gate = new();
    private TimecodeTrack _track = new(freewheel);
    private TimecodeEvent[] _earlier = [];
    private TimecodeEvent? _first;
    private long _dropped;
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
            if (_track.Events.Count >= MostEvents)
            {
                _earlier = [.. _track.Events.TakeLast(Told)];
                _dropped += _track.Events.Count;
                _track = new TimecodeTrack(freewheel);
            }

            if (_track.Latest is not null && !from.SameHost(_from))
            {
                (_other, _otherAt) = (_from, at);
            }

            _from = from;
            _track.Add(new TimecodeAt(at, timecode));
            _first ??= _track.Events[0];
        }
    }

    /// <summary>What is heard; null before the first label.</summary>
    public TimecodeHealth? Read(TimeSpan now)
    {
        lock (_gate)
        {
            _track.Advance(now);
            if (_track.Latest is not { } latest)
            {
                return null;
            }

            var other = _otherAt != TimeSpan.MinValue && now - _otherAt <= s_together ? Host(_other) : null;
            return new TimecodeHealth((_track.LabelAt(now) ?? latest.Timecode).ToString(), latest.Timecode.Rate, _track.RunsAt(now), Host(_from), other,
                Events(), _dropped + _track.Events.Count);
        }
    }

    /// <summary>What happened since the last call with the same count; a flood's oldest are left out.</summary>
    /// <param name="now">On the clock of the datagrams.</param>
    /// <param name="seen">Events handed out so far, 0 at first; counted on here.</param>
    public IReadOnlyList<TimecodeEvent> Since(TimeSpan now, ref long seen)
    {
        lock (_gate)
        {
            _track.Advance(now);
            var all = _dropped + _track.Events.Count;
            var fresh = (int)Math.Min(all - seen, _earlier.Length + _track.Events.Count);
            seen = all;
            return [.. _earlier.Concat(_track.Events).TakeLast(fresh)];
        }
    }

    private TimecodeEvent[] Events() => _dropped + _track.Events.Count <= Told
        ? [.. _track.Events]
        : [_first!, .. _earlier.Concat(_track.Events).TakeLast(Told - 1)];

    private static string Host(SourceAddress address)
    {
        var text = address.ToString();
        return text[..text.LastIndexOf(':')];
    }
}
