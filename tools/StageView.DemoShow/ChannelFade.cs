namespace StageView.DemoShow;

/// <summary>One channel's way from value to value, linear in DMX as consoles fade.</summary>
internal sealed class ChannelFade(uint value)
{
    private double _from = value;
    private uint _to = value;
    private double _start;
    private double _seconds;

    public void GoTo(uint value, double start, double seconds)
    {
        if (value == _to)
        {
            return;
        }

        (_from, _to, _start, _seconds) = (Exact(start), value, start, seconds);
    }

    public uint At(double t) => (uint)Math.Round(Exact(t));

    private double Exact(double t) =>
        t >= _start + _seconds ? _to : t <= _start ? _from : _from + ((_to - _from) * (t - _start) / _seconds);
}
