namespace StageView.Light.Cautions.Series;

/// <summary>A curve over time in constant memory: least and largest value of each stretch; when there are too many stretches, pairs become one.</summary>
/// <param name="most">Stretches kept at most, 16 or more.</param>
/// <param name="width">Width of a stretch at first, s.</param>
public sealed class DecimatedSeries(int most = 1024, double width = 0.05)
{
    private readonly List<SeriesPoint> _points = [];
    private double _start = double.NaN;
    private double _width = width;

    /// <summary>Stretches with values, by time.</summary>
    public IReadOnlyList<SeriesPoint> Points => _points;

    /// <summary>Width of a stretch now, s.</summary>
    public double Width => _width;

    /// <summary>The next value; times must not run backwards.</summary>
    public void Add(double seconds, double value)
    {
        if (double.IsNaN(_start))
        {
            _start = seconds;
        }

        var from = _start + (Math.Floor((seconds - _start) / _width) * _width);
        if (_points.Count > 0 && _points[^1] is var last && from <= last.From)
        {
            _points[^1] = last.With(seconds, value);
            return;
        }

        if (_points.Count == Math.Max(16, most))
        {
            Halve();
            Add(seconds, value);
            return;
        }

        _points.Add(new SeriesPoint(from, value, value, seconds));
    }

    private void Halve()
    {
        _width *= 2;
        var kept = new List<SeriesPoint>(_points.Count);
        foreach (var p in _points)
        {
            var from = _start + (Math.Floor((p.From - _start + (_width * 1e-9)) / _width) * _width);
            if (kept.Count > 0 && kept[^1].From >= from - (_width * 1e-6))
            {
                var q = kept[^1];
                var larger = p.Largest > q.Largest ? p : q;
                kept[^1] = new SeriesPoint(q.From, Math.Min(q.Least, p.Least), larger.Largest, larger.LargestAt);
            }
            else
            {
                kept.Add(p with { From = from });
            }
        }

        _points.Clear();
        _points.AddRange(kept);
    }
}

/// <summary>One stretch of a curve.</summary>
/// <param name="From">Where it begins, s.</param>
/// <param name="Least">Its least value.</param>
/// <param name="Largest">Its largest value.</param>
/// <param name="LargestAt">When that was, s.</param>
public readonly record struct SeriesPoint(double From, double Least, double Largest, double LargestAt)
{
    internal SeriesPoint With(double seconds, double value) =>
        new(From, Math.Min(Least, value), Math.Max(Largest, value), value > Largest ? seconds : LargestAt);
}
