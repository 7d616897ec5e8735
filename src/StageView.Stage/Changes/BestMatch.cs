using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Wire.Universes;

namespace StageView.Stage.Changes;

/// <summary>
/// How much the levels move in each tenth of a second; two of these rows tell the delay at which two captures fit best. Pixels count by their means
/// (<see cref="PixelMeans"/>): content that a media server plays by its own clock would outweigh the show.
/// </summary>
public sealed class BestMatch : ILevelsSink
{
    private const double Step = 0.1;
    private const int MostSteps = 360_000;
    private readonly Dictionary<int, byte[]> _last = [];
    private readonly List<double> _moves = [];
    private readonly UniverseMap _map;
    private readonly bool[] _watched;
    private readonly PixelMeans _pixels;

    public BestMatch(RigScene rig)
    {
        _map = new UniverseMap(rig);
        _watched = _map.Watched(rig);
        _pixels = new PixelMeans(rig, _map, _watched);
    }

    /// <inheritdoc/>
    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        var slot = (int)Math.Min(at.TotalSeconds / Step, MostSteps);
        if (!_map.TryFind(universe, out var dense))
        {
            return;
        }

        while (_moves.Count <= slot)
        {
            _moves.Add(0);
        }

        var first = !_last.TryGetValue(universe.Value, out var last);
        if (first)
        {
            _last[universe.Value] = last = new byte[512];
        }

        var sum = 0;
        for (var i = 0; i < levels.Length; i++)
        {
            var place = (dense * 512) + i;
            if (levels[i] != last![i])
            {
                sum += _watched[place] ? Math.Abs(levels[i] - last[i]) : 0;
                _pixels.Take(place, last[i], levels[i]);
            }
        }

        sum += _pixels.Moved(first).Sum(m => Math.Abs(m.After - m.Before));

        levels.CopyTo(last);
        if (first)
        {
            return;
        }

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
