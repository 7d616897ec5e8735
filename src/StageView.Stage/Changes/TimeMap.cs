namespace StageView.Stage.Changes;

/// <summary>Which time of one capture belongs to which time of another: delays that hold from a time on.</summary>
public sealed class TimeMap
{
    private readonly (double From, double Delay)[] _pieces;

    private TimeMap(IEnumerable<(double From, double Delay)> pieces) => _pieces = [.. pieces.OrderBy(p => p.From)];

    /// <summary>Equal times.</summary>
    public static TimeMap Same { get; } = new([(double.NegativeInfinity, 0)]);

    /// <summary>How many different delays there are.</summary>
    public int Pieces => _pieces.Length;

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

    /// <summary>The time of the second capture, s.</summary>
    public double ToSecond(double first)
    {
        var delay = _pieces[0].Delay;
        foreach (var (from, d) in _pieces)
        {
            if (first < from)
            {
                break;
            }

            delay = d;
        }

        return first + delay;
    }
}
