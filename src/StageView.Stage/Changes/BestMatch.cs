using StageView.Rig;
using StageView.Wire;

namespace StageView.Stage;

/// <summary>How much the levels move in each tenth of a second; two of these rows tell the delay at which two captures fit best.</summary>
public sealed class BestMatch : ILevelsSink
{
    private const double Step = 0.1;
    private const int MostSteps = 360_000;
    private readonly Dictionary<int, byte[]> _last = [];
    private readonly List<double> _moves = [];
    private readonly UniverseMap _map;

    public BestMatch(RigScene rig) => _map = new UniverseMap(rig);

    /// <inheritdoc/>
    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        var slot = (int)Math.Min(at.TotalSeconds / Step, MostSteps);
        if (!_map.TryFind(universe, out _))
        {
            return;
        }

        while (_moves.Count <= slot)
        {
            _moves.Add(0);
        }

        if (!_last.TryGetValue(universe.Value, out var last))
        {
            _last[universe.Value] = levels.ToArray();
            return;
        }

        var sum = 0;
        for (var i = 0; i < levels.Length; i++)
        {
            sum += Math.Abs(levels[i] - last[i]);
        }

        levels.CopyTo(last);
        // A root keeps one bump of everything from drowning the rest.
        _moves[slot] += Math.Sqrt(sum);
    }

    /// <summary>Seconds by which the other capture is later at the best fit, to a tenth; at most <paramref name="most"/> either way.</summary>
    public double DelayOf(BestMatch other, double most = 60)
    {
        ArgumentNullException.ThrowIfNull(other);
        var (a, b) = (Centred(_moves), Centred(other._moves));
        var (best, bestFit) = (0, double.NegativeInfinity);
        var range = Math.Min((int)(most / Step), Math.Max(a.Length, b.Length));
        for (var shift = -range; shift <= range; shift++)
        {
            double fit = 0;
            for (var i = Math.Max(0, -shift); i < Math.Min(a.Length, b.Length - shift); i++)
            {
                fit += a[i] * b[i + shift];
            }

            // Between equal fits the smaller delay.
            if (fit > bestFit * (1 + 1e-12) || (fit >= bestFit && Math.Abs(shift) < Math.Abs(best)))
            {
                (best, bestFit) = (shift, fit);
            }
        }

        return best * Step;
    }

    private static double[] Centred(List<double> moves)
    {
        var mean = moves.Count == 0 ? 0 : moves.Average();
        return [.. moves.Select(m => m - mean)];
    }
}
