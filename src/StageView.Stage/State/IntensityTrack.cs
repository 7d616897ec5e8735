using System.Runtime.CompilerServices;

namespace StageView.Stage.State;

internal enum StrobeKind : byte
{
    Steady,
    Square,
    Pulse,
    Opening,
    Closing,
    Random,
    RandomPulse,
    RandomOpening,
    RandomClosing,
}

/// <summary>How bright an emitter is from one level change to the next.</summary>
internal struct IntensitySegment
{
    public double Start;

    /// <summary>Strobe phase at the start, in periods.</summary>
    public double Phase;
    public float Dimmer;

    /// <summary>Opening of the shutter, 0 to 1, times the strobe's.</summary>
    public float Open;
    public float Hertz;

    /// <summary>Share of a period that a flash lasts.</summary>
    public float Duty;
    public StrobeKind Kind;
    public uint Seed;

    public readonly bool IsSameAs(in IntensitySegment o) =>
        Dimmer == o.Dimmer && Open == o.Open && Hertz == o.Hertz && Duty == o.Duty && Kind == o.Kind;

    public readonly double PhaseAt(double t) => Phase + (Hertz * (t - Start));

    /// <summary>Openness at one instant.</summary>
    public readonly float At(double t)
    {
        var level = Dimmer * Open;
        if (Kind == StrobeKind.Steady || level == 0)
        {
            return level;
        }

        var p = PhaseAt(t);
        var k = Math.Floor(p);
        return level * StrobeWave.Value(Kind, (float)(p - k), Duty, StrobeWave.Offset(Kind, Seed, (long)k, Duty));
    }

    /// <summary>∫ of dimmer × openness from <paramref name="a"/> to <paramref name="b"/>, s.</summary>
    public readonly double Integral(double a, double b)
    {
        var level = Dimmer * Open;
        if (Kind == StrobeKind.Steady || level == 0)
        {
            return level * (b - a);
        }

        return level * (StrobeWave.Cumulative(Kind, PhaseAt(b), Duty, Seed) - StrobeWave.Cumulative(Kind, PhaseAt(a), Duty, Seed)) / Hertz;
    }
}

[InlineArray(Length)]
internal struct IntensitySegments
{
    public const int Length = 8;
    private IntensitySegment _first;
}

/// <summary>The last few segments of an emitter's intensity, newest last, so that an exposure can reach back over level changes.</summary>
internal struct IntensityTrack
{
    private IntensitySegments _ring;
    private int _count;
    private int _last;

    public readonly IntensitySegment Latest => _ring[_last];

    public readonly bool HasAny => _count > 0;

    public void Clear() => (_count, _last) = (0, 0);

    public void Push(in IntensitySegment segment)
    {
        if (_count > 0 && _ring[_last].Start == segment.Start)
        {
            _ring[_last] = segment;
            return;
        }

        _last = _count == 0 ? 0 : (_last + 1) % IntensitySegments.Length;
        _count = Math.Min(_count + 1, IntensitySegments.Length);
        _ring[_last] = segment;
    }

    /// <summary>Mean of dimmer × shutter over the open time that ends at <paramref name="t"/>; the value at t when it is 0.</summary>
    /// <param name="t">End of the exposure, s.</param>
    /// <param name="open">Open time, s.</param>
    /// <param name="dimmerNow">The latest segment's dimmer as it has moved by now, where it takes time; otherwise the segment's own.</param>
    public readonly float Mean(double t, double open, float dimmerNow)
    {
        if (_count == 0)
        {
            return 0;
        }

        var latest = _ring[_last];
        latest.Dimmer = dimmerNow;
        if (open <= 0 || (_count == 1 && latest.Kind == StrobeKind.Steady) || (latest.Kind == StrobeKind.Steady && latest.Start <= t - open))
        {
            return latest.At(t);
        }

        var begin = t - open;
        var end = t;
        var sum = 0.0;
        for (var i = 0; i < _count && end > begin; i++)
        {
            var segment = i == 0 ? latest : _ring[(_last - i + IntensitySegments.Length) % IntensitySegments.Length];
            var from = i == _count - 1 ? begin : Math.Max(begin, segment.Start);
            if (from < end)
            {
                sum += segment.Integral(from, end);
                end = from;
            }
        }

        return (float)(sum / open);
    }
}
