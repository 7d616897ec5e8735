namespace StageView.Stage.Changes;

/// <summary>Which time of one capture belongs to which time of another: delays that hold from a time on.</summary>
public sealed class TimeMap
{
    /// <summary>Delays of neighbouring pairs that are nearer than this are one clock that runs fast or slow, s; others are a jump.</summary>
    private const double SameClock = 0.1;

    private bool _drifts;
    private readonly (double From, double Delay)[] _pieces;

    private TimeMap(IEnumerable<(double From, double Delay)> pieces) => _pieces = [.. pieces.OrderBy(p => p.From)];

    /// <summary>Equal times.</summary>
    public static TimeMap Same { get; } = new([(double.NegativeInfinity, 0)]);

    /// <summary>How many different delays there are.</summary>
    public int Pieces => _drifts ? 1 + _pieces.Zip(_pieces.Skip(1)).Count(p => Math.Abs(p.First.Delay - p.Second.Delay) >= SameClock) : _pieces.Length;

    /// <summary>The second capture is later by so many seconds throughout.</summary>
    public static TimeMap Later(double seconds) => new([(double.NegativeInfinity, seconds)]);

    /// <summary>From pairs of times that belong together; the delay of a pair holds until the next.</summary>
    public static TimeMap FromPairs(IEnumerable<(double A, double B)> pairs)
    {
        var pieces = new List<(double From, double Delay)>();
        foreach (var (a, b) in pairs)
        {
            if (pieces.Count == 0)
            {
                pieces.Add((double.NegativeInfinity, b - a));
            }
            else if (Math.Abs(pieces[^1].Delay - (b - a)) > 1e-3)
            {
                pieces.Add((a - 0.1, b - a));
            }
        }

        return pieces.Count == 0 ? Same : new TimeMap(pieces);
    }

    /// <summary>From pairs that lie close: between two whose delays differ by little the delay grows evenly.</summary>
    public static TimeMap Drifting(IEnumerable<(double A, double B)> pairs)
    {
        var pieces = pairs.Select(p => (p.A, p.B - p.A)).OrderBy(p => p.A).ToList();
        return pieces.Count == 0 ? Same : new TimeMap(pieces) { _drifts = true };
    }

    /// <summary>By how much the delay grows within runs, from each run's first pair to its last, s; 0 where pairs are not close.</summary>
    public double Drift
    {
        get
        {
            var sum = 0.0;
            for (var i = 1; i < _pieces.Length && _drifts; i++)
            {
                var more = _pieces[i].Delay - _pieces[i - 1].Delay;
                sum += Math.Abs(more) < SameClock ? more : 0;
            }

            return sum;
        }
    }

    /// <summary>The time of the second capture, s.</summary>
    public double ToSecond(double first)
    {
        // The last piece that holds: by halves, as there may be one a second.
        var (low, high) = (0, _pieces.Length - 1);
        while (low < high)
        {
            var middle = (low + high + 1) / 2;
            (low, high) = _pieces[middle].From <= first ? (middle, high) : (low, middle - 1);
        }

        var (from, delay) = _pieces[low];
        if (_drifts && low + 1 < _pieces.Length && first > from && Math.Abs(_pieces[low + 1].Delay - delay) < SameClock)
        {
            delay += (_pieces[low + 1].Delay - delay) * (first - from) / (_pieces[low + 1].From - from);
        }

        return first + delay;
    }
}
