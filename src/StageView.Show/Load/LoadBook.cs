namespace StageView.Show.Load;

/// <summary>Power of one line along a show: its mean, its energy, its worst second, a row of means. Memory doesn't grow with the show.</summary>
internal sealed class LoadBook
{
    public const int MostRows = 1200;
    private readonly Queue<double> _second = new();
    private readonly int _looksASecond;
    private readonly double _step;
    private List<double> _row = [];
    private double _sum;
    private double _open;
    private int _openLooks;
    private int _rowLooks;

    /// <param name="step">Between looks, s, at most 1.</param>
    public LoadBook(double step) => (_step, _looksASecond, _rowLooks) = (step, Math.Max(1, (int)Math.Round(1 / step)), Math.Max(1, (int)Math.Round(1 / step)));

    public long Looks { get; private set; }

    /// <summary>Watt-seconds.</summary>
    public double Joules { get; private set; }

    public double Mean => Looks > 0 ? Joules / (Looks * _step) : 0;

    /// <summary>The highest mean over a second, and when that second began.</summary>
    public (double Watts, double At) Worst { get; private set; }

    public double RowSeconds => _rowLooks * _step;

    public IReadOnlyList<double> Row => _openLooks > 0 ? [.. _row, _open / _openLooks] : _row;

    public void Add(double at, double watts)
    {
        Looks++;
        Joules += watts * _step;
        _second.Enqueue(watts);
        _sum += watts;
        if (_second.Count > _looksASecond)
        {
            _sum -= _second.Dequeue();
        }

        if (_sum / _second.Count is var mean && (mean > Worst.Watts + 1e-6 || Looks == 1))
        {
            Worst = (mean, Math.Max(0, at - ((_second.Count - 1) * _step)));
        }

        (_open, _openLooks) = (_open + watts, _openLooks + 1);
        if (_openLooks < _rowLooks)
        {
            return;
        }

        _row.Add(_open / _openLooks);
        (_open, _openLooks) = (0, 0);
        if (_row.Count >= MostRows)
        {
            _row = [.. _row.Chunk(2).Select(p => p.Average())];
            _rowLooks *= 2;
        }
    }
}
