using StageView.Wire.Tallies;

namespace StageView.Show.Recordings;

/// <summary>The lowest and highest rate of a source while it was live, over ten seconds each, or over what there was.</summary>
internal sealed class PacketRates
{
    private const double Window = 10;
    private double _from = -1;
    private double _to;
    private long _first;
    private long _last;
    private double _slowest = double.PositiveInfinity;

    /// <summary>Packets a second; 0 when it was heard in one look alone.</summary>
    public double Slowest => double.IsFinite(_slowest) ? _slowest : Open;

    /// <summary>Packets a second.</summary>
    public double Fastest { get => Math.Max(field, double.IsFinite(_slowest) ? 0 : Open); private set; }

    private double Open => _to > _from && _from >= 0 ? (_last - _first) / (_to - _from) : 0;

    /// <param name="at">Time of the look, s.</param>
    /// <param name="source">As it was then.</param>
    public void Add(double at, SourceHealth source)
    {
        if (source.Standing != SourceStanding.Live)
        {
            _from = -1;
            return;
        }

        if (_from < 0)
        {
            (_from, _first) = (at, source.Packets);
        }

        (_to, _last) = (at, source.Packets);
        if (at - _from >= Window)
        {
            _slowest = Math.Min(_slowest, Open);
            Fastest = Math.Max(Fastest, Open);
            (_from, _first) = (at, source.Packets);
        }
    }
}
