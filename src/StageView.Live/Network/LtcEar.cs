using System.Globalization;
using StageView.Live.Terms;
using StageView.Show.Sound;
using StageView.Wire.Clock;
using StageView.Wire.Time;

namespace StageView.Live.Network;

/// <summary>Reads linear timecode out of a sound input, and how loud that is. Heard by one thread, asked by others.</summary>
/// <param name="name">The input, as it was named.</param>
internal sealed class LtcEar(string name, TimeProvider clock) : ISoundEar
{
    /// <summary>Below this peak there is nothing to read: an input without a cable lies there.</summary>
    private const float Silence = .001f;

    // Speed is told once so much was heard, and where it is off by more than clocks of sound cards are.
    private static readonly TimeSpan s_longEnough = TimeSpan.FromSeconds(30);
    private const double SpeedWorthTelling = 5e-4;

    private static readonly TimeSpan s_opens = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan s_nothing = TimeSpan.FromSeconds(1);
    private readonly Lock _gate = new();
    private readonly long _start = clock.GetTimestamp();
    private readonly TimecodeLog _log = new(TimeSpan.FromSeconds(1));
    private LtcDecoder? _decoder;
    private SampleClock? _samples;
    private TimeSpan _shift;
    private TimeSpan _last;
    private TimeSpan? _heardAt;
    private string? _why;
    private PeakHold _peak;
    private long _seen;

    public void Begun()
    {
        lock (_gate)
        {
            _samples = new SampleClock(SoundSource.SampleRate);
            _decoder = new LtcDecoder(SoundSource.SampleRate, Found);
            _why = null;
        }
    }

    public void Hear(ReadOnlySpan<float> samples)
    {
        lock (_gate)
        {
            var now = Now;
            _heardAt = now;
            _shift = _samples!.Take(samples.Length, now);
            _peak.Take(samples, now);
            _decoder!.Feed(samples);
        }
    }

    public void Ended(string why)
    {
        lock (_gate)
        {
            (_decoder, _samples, _why) = (null, null, why);
        }
    }

    /// <summary>What happened to the timecode since the last call. One caller at a time.</summary>
    public IReadOnlyList<TimecodeEvent> Happened()
    {
        lock (_gate)
        {
            return _log.Since(Now, ref _seen);
        }
    }

    /// <summary>As of now.</summary>
    public LtcHeard Read()
    {
        lock (_gate)
        {
            var now = Now;
            var track = _log.Track;
            track.Advance(now);
            var runs = track.RunsAt(now);
            var peak = _peak.At(now);
            var kind = _why is not null ? LtcKind.Ended : _heardAt is null && now < s_opens ? LtcKind.Waits
                : _heardAt is not { } heard || now - heard > s_nothing ? LtcKind.Nothing
                : runs ? LtcKind.Reads : peak < Silence ? LtcKind.Silent
                : track.Latest is { } latest && now - latest.At <= track.Freewheel ? LtcKind.Stands : LtcKind.NoTimecode;
            var pace = runs && track.Pace is { } p && p.Over >= s_longEnough && Math.Abs(p.Speed - 1) > SpeedWorthTelling ? p.Speed : (double?)null;
            return new LtcHeard(
                kind, name, _why ?? "", peak > 0 ? 20 * Math.Log10(peak) : null, track.LabelAt(now) ?? track.Latest?.Timecode,
                runs && track.RunsBackwardsAt(now), pace);
        }
    }

    private TimeSpan Now => clock.GetElapsedTime(_start);

    private void Found(TimecodeAt label)
    {
        var at = label.At + _shift;
        _last = at > _last ? at : _last;
        _log.Add(label with { At = _last });
    }

    /// <summary>The highest of the last half to whole second.</summary>
    private struct PeakHold
    {
        private static readonly TimeSpan s_half = TimeSpan.FromSeconds(.5);
        private TimeSpan _since;
        private float _before;
        private float _now;

        public void Take(ReadOnlySpan<float> samples, TimeSpan now)
        {
            Turn(now);
            foreach (var s in samples)
            {
                _now = Math.Max(_now, Math.Abs(s));
            }
        }

        public float At(TimeSpan now)
        {
            Turn(now);
            return Math.Max(_before, _now);
        }

        private void Turn(TimeSpan now)
        {
            if (now - _since >= s_half)
            {
                (_before, _now, _since) = (now - _since < 2 * s_half ? _now : 0, 0, now);
            }
        }
    }
}

/// <summary>How a sound input stands.</summary>
internal enum LtcKind
{
    /// <summary>It was begun, and nothing came yet.</summary>
    Waits,

    /// <summary>Its program ended or did not start.</summary>
    Ended,

    /// <summary>Its program runs and brings nothing.</summary>
    Nothing,

    Silent,
    NoTimecode,

    /// <summary>The same label comes again and again, or the last one is not long ago.</summary>
    Stands,

    Reads,
}

/// <summary>What a sound input says.</summary>
/// <param name="Why">Why it ended.</param>
/// <param name="Peak">Peak of the last second, dBFS; null where there is none.</param>
/// <param name="Label">The label as of now, or the last one; null before the first.</param>
/// <param name="Speed">As a share of its rate, where it is worth telling.</param>
internal sealed record LtcHeard(LtcKind Kind, string Name, string Why, double? Peak, Timecode? Label, bool Backwards, double? Speed)
{
    /// <summary>Whether it counts.</summary>
    public bool Runs => Kind == LtcKind.Reads;

    /// <summary>In words, without the level.</summary>
    public string Words => Kind switch
    {
        LtcKind.Waits => "is opened",
        LtcKind.Ended => "no input: " + Why,
        LtcKind.Nothing => "the input brings nothing",
        LtcKind.Silent => "no sound",
        LtcKind.NoTimecode => "sound, but no timecode",
        LtcKind.Stands => "timecode stands",
        _ => string.Create(CultureInfo.InvariantCulture, $"reads at {TimecodeRateText.Of(Label!.Value.Rate)}{(Backwards ? ", backwards" : "")}{SpeedWords}"),
    };

    /// <summary>In as few words as a header and a title have room for.</summary>
    public string Short => "LTC " + Kind switch
    {
        LtcKind.Waits => "…",
        LtcKind.Ended or LtcKind.Nothing => "no input",
        LtcKind.Silent => "no sound",
        LtcKind.NoTimecode => "no timecode " + Level,
        _ => Level,
    };

    public LtcState State(string? against) => new(
        Kind is LtcKind.Reads or LtcKind.Stands or LtcKind.Waits ? "heard" : Kind is LtcKind.Silent or LtcKind.NoTimecode ? "silent" : "lost",
        Short,
        $"LTC from {Name}: {Words}{(Level.Length == 0 || Kind is LtcKind.Ended or LtcKind.Nothing ? "" : $", peak {Level}FS")}{(against is null ? "" : "; " + against)}");

    private string Level => Peak is { } p ? string.Create(CultureInfo.InvariantCulture, $"{p:0} dB").Replace("-0 ", "0 ", StringComparison.Ordinal) : "";

    private string SpeedWords => Speed is { } s ? string.Create(CultureInfo.InvariantCulture, $", {Math.Abs(s - 1) * 100:0.00} % {(s > 1 ? "fast" : "slow")}") : "";
}
