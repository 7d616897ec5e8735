namespace StageView.Live.Measuring;

/// <summary>The last latencies measured, ms.</summary>
internal sealed class LatencyWindow
{
    private readonly double[] _values = new double[64];
    private long _count;

    public void Add(double milliseconds) => _values[_count++ % _values.Length] = milliseconds;

    public int Count => (int)Math.Min(_count, _values.Length);

    public double? Median => Count == 0 ? null : Math.Round(Sorted()[Count / 2], 1);

    public double? Worst => Count == 0 ? null : Math.Round(Sorted()[^1], 1);

    public void Clear() => _count = 0;

    private double[] Sorted()
    {
        var s = _values[..Count];
        Array.Sort(s);
        return s;
    }
}
