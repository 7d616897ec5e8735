namespace StageView.Wire.Health;

/// <summary>
/// How much counts that only ever rise have risen lately. Bounded: some readings are kept for each count that the newest look still knew.
/// A window of <see cref="double.PositiveInfinity"/> keeps nothing and gives whole counts.
/// </summary>
internal sealed class LatelyCounts(double seconds)
{
    private const int Readings = 6;
    private readonly Dictionary<(int Universe, string Source, FindingKind What), Series> _series = [];
    private long _look;
    private bool _any;

    public bool Whole => double.IsPositiveInfinity(seconds);

    /// <summary>Takes down the counts of one look. What stood before the first look isn't counted; what is new at a later one is.</summary>
    public void Take(double at, IEnumerable<((int Universe, string Source, FindingKind What) Key, long Count)> counts)
    {
        if (Whole)
        {
            return;
        }

        _look++;
        foreach (var (key, count) in counts)
        {
            if (!_series.TryGetValue(key, out var series) || series.Last > count)
            {
                series = new Series();
                series.Kept.Enqueue((at, _any ? 0 : count));
                _series[key] = series;
            }

            if (at - series.LastAt >= seconds / Readings)
            {
                series.Kept.Enqueue((at, count));
                series.LastAt = at;
            }

            while (series.Kept.Count > 1 && series.Kept.ElementAt(1).At <= at - seconds)
            {
                series.Kept.Dequeue();
            }

            (series.Last, series.Look) = (count, _look);
        }

        _any = true;
        foreach (var (key, _) in _series.Where(s => s.Value.Look != _look).ToList())
        {
            _series.Remove(key);
        }
    }

    /// <summary>The rise of a count within the window, or a little more.</summary>
    public long Of((int Universe, string Source, FindingKind What) key, long count) =>
        _series.TryGetValue(key, out var series) ? Math.Max(0, count - series.Kept.Peek().Count) : count;

    private sealed class Series
    {
        public Queue<(double At, long Count)> Kept { get; } = new();

        public double LastAt { get; set; } = double.NegativeInfinity;

        public long Last { get; set; }

        public long Look { get; set; }
    }
}
