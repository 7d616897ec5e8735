namespace StageView.Show.HouseLight;

/// <summary>
/// Which lanterns are used, each aimed one way: added one after the other, each time the one that helps most, while it is worth more than a lantern costs;
/// then each in turn is left out, aimed elsewhere or put in another's place where that is better, until none is (vertex substitution: Teitz and Bart 1968,
/// Operations Research 16; from memory). It finds a good choice, not always the best there is. Of equal ones the first in the rig's order is taken, so
/// that the same input gives the same answer.
/// </summary>
internal sealed class LanternChoice(IReadOnlyList<LightColumn> columns, LevelFit fit)
{
    /// <summary>What a further lantern must be worth, in the cost of <see cref="LevelFit"/>.</summary>
    public const double Worth = .1;

    private const int MostPasses = 4;

    /// <summary>Less light than this at full counts as none.</summary>
    private const double LeastLevel = .015;

    private List<LightColumn> _taken = [];
    private double[] _levels = [];
    private double _cost;

    public (IReadOnlyList<LightColumn> Taken, IReadOnlyList<double> Levels) Find()
    {
        _cost = fit.Cost([], []);
        while (Best() is { } more && TryTake([.. _taken, more], _levels))
        {
        }

        for (var (pass, changed) = (0, true); pass < MostPasses && changed; pass++)
        {
            changed = false;
            for (var i = 0; i < _taken.Count; i++)
            {
                changed |= Exchange(i);
            }
        }

        while (_taken.Count > 0 && _levels.Min() < LeastLevel)
        {
            var least = Array.IndexOf(_levels, _levels.Min());
            _taken.RemoveAt(least);
            _levels = fit.Solve(_taken, [.. _levels.Where((_, i) => i != least)]);
        }

        return (_taken, _levels);
    }

    /// <summary>Leaves one out, or puts another in its place, where that is better.</summary>
    private bool Exchange(int place)
    {
        var (before, levels) = (_taken, _levels);
        List<LightColumn> without = [.. before.Where((_, i) => i != place)];
        double[] left = [.. levels.Where((_, i) => i != place)];
        if (TryTake(without, left))
        {
            return true;
        }

        var solved = fit.Solve(without, left);
        (_taken, _levels) = (without, solved);
        var other = Best();
        (_taken, _levels) = (before, levels);
        if (other is null || ReferenceEquals(other, before[place]))
        {
            return false;
        }

        List<LightColumn> swapped = [.. before];
        swapped[place] = other;
        return TryTake(swapped, levels);
    }

    private bool TryTake(List<LightColumn> set, IReadOnlyList<double> start)
    {
        var levels = fit.Solve(set, start);
        var cost = fit.Cost(set, levels) + (Worth * set.Count);
        if (cost >= _cost - 1e-6)
        {
            return false;
        }

        (_taken, _levels, _cost) = (set, levels, cost);
        return true;
    }

    /// <summary>The column that helps most beside those taken; null where none is worth a lantern.</summary>
    private LightColumn? Best()
    {
        var used = _taken.Select(t => t.Lantern).ToHashSet();
        var sums = fit.At(_taken, _levels);
        var (best, most) = ((LightColumn?)null, 0.0);
        foreach (var c in columns)
        {
            if (!used.Contains(c.Lantern) && fit.Gain(c, sums) is var gain && gain > (most * (1 + 1e-5)) + 1e-7)
            {
                (best, most) = (c, gain);
            }
        }

        return most > Worth ? best : null;
    }
}
