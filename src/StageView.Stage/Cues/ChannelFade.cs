namespace StageView.Stage.Cues;

/// <summary>One channel's way from value to value, in DMX as consoles fade.</summary>
internal sealed class ChannelFade(uint value)
{
    private double _from = value;
    private uint _to = value;
    private double _start;
    private double _seconds;
    private string _curve = "linear";

    public void GoTo(uint value, double start, double seconds, string curve)
    {
        if (value != _to)
        {
            (_from, _to, _start, _seconds, _curve) = (Exact(start), value, start, seconds, curve);
        }
    }

    public uint At(double t) => (uint)Math.Round(Exact(t));

    private double Exact(double t)
    {
        if (t >= _start + _seconds)
        {
            return _to;
        }

        // Multiplied before it is divided: the same steps as a desk that counts in ticks.
        return t <= _start ? _from
            : _curve == "linear" ? _from + ((_to - _from) * (t - _start) / _seconds)
            : _from + ((_to - _from) * FadeCurve.At(_curve, (t - _start) / _seconds));
    }
}
