using StageView.Light.Geometry;

namespace StageView.Show.HouseLight;

/// <summary>
/// The levels at which a set of lanterns does best, and what that is worth. Everything is in shares of the least illuminance e = 1. For each position
/// <c>2000·max(0, 1.01 - e)² + 100·(max(0, low·h - c)² + max(0, c - high·h)²) + n·(0.4·(e - 1)² + 0.4·s²)</c>: too little, modelling (c cylindrical, h
/// horizontal), uneven, from one side (s, right less left); n is 20 over how many positions there are, so that a finer area doesn't ask for more lanterns. And
/// for each lantern what its angles cost, and 0.0001·x², so that there is one answer. The weights are ours.
/// </summary>
/// <remarks>
/// Convex and smooth in the levels x, 0 to 1. Minimised by Newton's method with the levels at their bounds left out where they push outwards (projected
/// Newton: Bertsekas 1982, SIAM J. Control Optim. 20; from memory).
/// </remarks>
/// <param name="positions">How many there are.</param>
/// <param name="modelling">Least and most c / h.</param>
/// <param name="strict">Modelling outside its range weighs so many times as much.</param>
internal sealed class LevelFit(int positions, (double Low, double High) modelling, double strict = 1)
{
    private const double Short = 2000;
    private const double Enough = 1.01;
    private const double Ridge = 1e-4;

    /// <summary>So much beside its limits modelling still counts as within: what is printed has two digits.</summary>
    public const double Close = .005;

    private const int MostSteps = 60;
    private readonly double _shape = 100 * strict;
    private readonly double _uneven = .4 * Share(positions);
    private readonly double _oneSided = .4 * Share(positions);

    /// <summary>What one position of so many counts in evenness, sides and angles: together as much as 20.</summary>
    public static double Share(int positions) => 20.0 / positions;

    /// <summary>Sums at every position with levels as they stand.</summary>
    public readonly record struct Sums(double[] Face, double[] Flat, double[] Cylinder, double[] Side);

    public Sums At(IReadOnlyList<LightColumn> columns, IReadOnlyList<double> levels)
    {
        var s = new Sums(new double[positions], new double[positions], new double[positions], new double[positions]);
        for (var i = 0; i < columns.Count; i++)
        {
            var c = columns[i];
            for (var k = 0; k < c.At.Length; k++)
            {
                var p = c.At[k];
                s.Face[p] += c.Face[k] * levels[i];
                s.Flat[p] += c.Flat[k] * levels[i];
                s.Cylinder[p] += c.Cylinder[k] * levels[i];
                s.Side[p] += c.Side[k] * levels[i];
            }
        }

        return s;
    }

    /// <summary>At how many positions there is enough light, with its modelling in range.</summary>
    public int Held(IReadOnlyList<LightColumn> columns, IReadOnlyList<double> levels)
    {
        var s = At(columns, levels);
        return Enumerable.Range(0, positions).Count(p => s.Face[p] >= 1 && s.Cylinder[p] >= (modelling.Low - Close) * s.Flat[p]
            && s.Cylinder[p] <= (modelling.High + Close) * s.Flat[p]);
    }

    /// <summary>What a set of levels costs.</summary>
    public double Cost(IReadOnlyList<LightColumn> columns, IReadOnlyList<double> levels)
    {
        var s = At(columns, levels);
        var sum = 0.0;
        for (var p = 0; p < positions; p++)
        {
            sum += Term(s.Face[p], s.Flat[p], s.Cylinder[p], s.Side[p]);
        }

        for (var i = 0; i < columns.Count; i++)
        {
            sum += (columns[i].Cost * levels[i]) + (Ridge * levels[i] * levels[i]);
        }

        return sum;
    }

    /// <summary>How much less it costs when one more lantern is put to its best level, all others as they stand.</summary>
    public double Gain(LightColumn c, in Sums s)
    {
        double x = 0, low = 0, high = 1;
        for (var step = 0; step < 8; step++)
        {
            var (slope, bend) = (c.Cost + (2 * Ridge * x), 2 * Ridge);
            for (var k = 0; k < c.At.Length; k++)
            {
                var p = c.At[k];
                var (e, h, y, d) = (s.Face[p] + (c.Face[k] * x), s.Flat[p] + (c.Flat[k] * x), s.Cylinder[p] + (c.Cylinder[k] * x), s.Side[p] + (c.Side[k] * x));
                var g = Slope(e, h, y, d);
                slope += (g.Face * c.Face[k]) + (g.Flat * c.Flat[k]) + (g.Cylinder * c.Cylinder[k]) + (g.Side * c.Side[k]);
                var (dark, soft, hard) = (e < Enough, modelling.Low * h > y, y > modelling.High * h);
                bend += 2 * ((((dark ? Short : 0) + _uneven) * c.Face[k] * c.Face[k]) + (_oneSided * c.Side[k] * c.Side[k])
                    + (soft ? _shape * Square((modelling.Low * c.Flat[k]) - c.Cylinder[k]) : 0)
                    + (hard ? _shape * Square(c.Cylinder[k] - (modelling.High * c.Flat[k])) : 0));
            }

            if (x == 0 && slope >= 0)
            {
                return 0;
            }

            (low, high) = slope > 0 ? (low, x) : (x, high);
            var next = x - (slope / bend);
            next = next > low && next < high ? next : step == 0 && next >= high ? high : (low + high) / 2;
            if (Math.Abs(next - x) < 1e-7)
            {
                break;
            }

            x = next;
        }

        var gain = -(c.Cost * x) - (Ridge * x * x);
        for (var k = 0; k < c.At.Length; k++)
        {
            var p = c.At[k];
            gain += Term(s.Face[p], s.Flat[p], s.Cylinder[p], s.Side[p])
                - Term(s.Face[p] + (c.Face[k] * x), s.Flat[p] + (c.Flat[k] * x), s.Cylinder[p] + (c.Cylinder[k] * x), s.Side[p] + (c.Side[k] * x));
        }

        return gain;
    }

    /// <summary>The best levels of a set.</summary>
    /// <param name="columns">The set.</param>
    /// <param name="start">Levels to start from; those that are missing start at 0.</param>
    public double[] Solve(IReadOnlyList<LightColumn> columns, IReadOnlyList<double> start)
    {
        var n = columns.Count;
        var x = Enumerable.Range(0, n).Select(i => i < start.Count ? Math.Clamp(start[i], 0, 1) : 0).ToArray();
        var cost = Cost(columns, x);
        for (var step = 0; step < MostSteps; step++)
        {
            var (gradient, hessian) = Bends(columns, x);
            var free = Enumerable.Range(0, n).Where(i => !(x[i] <= 0 && gradient[i] > 0) && !(x[i] >= 1 && gradient[i] < 0)).ToArray();
            if (free.Length == 0 || free.Max(i => Math.Abs(gradient[i])) < 1e-9)
            {
                break;
            }

            var own = new double[free.Length, free.Length];
            for (var i = 0; i < free.Length; i++)
            {
                for (var j = 0; j < free.Length; j++)
                {
                    own[i, j] = hessian[free[i], free[j]];
                }
            }

            if (SymmetricMatrix.Solve(own, [.. free.Select(k => gradient[k])], 0) is not { } way)
            {
                break;
            }

            var better = false;
            for (var share = 1.0; share > 1e-8 && !better; share /= 2)
            {
                var tried = (double[])x.Clone();
                for (var k = 0; k < free.Length; k++)
                {
                    tried[free[k]] = Math.Clamp(x[free[k]] - (share * way[k]), 0, 1);
                }

                var now = Cost(columns, tried);
                if (now < cost - (1e-13 * Math.Max(1, cost)))
                {
                    (x, cost, better) = (tried, now, true);
                }
            }

            if (!better)
            {
                break;
            }
        }

        return x;
    }

    private (double[] Gradient, double[,] Hessian) Bends(IReadOnlyList<LightColumn> columns, double[] x)
    {
        var n = columns.Count;
        var s = At(columns, x);
        var (gradient, hessian) = (new double[n], new double[n, n]);
        var by = Enumerable.Range(0, positions).Select(_ => new List<(int Column, int At)>()).ToArray();
        for (var i = 0; i < n; i++)
        {
            gradient[i] = columns[i].Cost + (2 * Ridge * x[i]);
            hessian[i, i] = 2 * Ridge;
            for (var k = 0; k < columns[i].At.Length; k++)
            {
                by[columns[i].At[k]].Add((i, k));
            }
        }

        for (var p = 0; p < positions; p++)
        {
            var (e, h, y) = (s.Face[p], s.Flat[p], s.Cylinder[p]);
            var g = Slope(e, h, y, s.Side[p]);
            var (dark, soft, hard) = (e < Enough, modelling.Low * h > y, y > modelling.High * h);
            foreach (var (i, k) in by[p])
            {
                var a = columns[i];
                gradient[i] += (g.Face * a.Face[k]) + (g.Flat * a.Flat[k]) + (g.Cylinder * a.Cylinder[k]) + (g.Side * a.Side[k]);
                foreach (var (j, m) in by[p])
                {
                    var b = columns[j];
                    hessian[i, j] += 2 * ((((dark ? Short : 0) + _uneven) * a.Face[k] * b.Face[m]) + (_oneSided * a.Side[k] * b.Side[m])
                        + (soft ? _shape * ((modelling.Low * a.Flat[k]) - a.Cylinder[k]) * ((modelling.Low * b.Flat[m]) - b.Cylinder[m]) : 0)
                        + (hard ? _shape * (a.Cylinder[k] - (modelling.High * a.Flat[k])) * (b.Cylinder[m] - (modelling.High * b.Flat[m])) : 0));
                }
            }
        }

        return (gradient, hessian);
    }

    private double Term(double e, double h, double y, double side) => (Short * Square(Math.Max(0, Enough - e))) + (_uneven * Square(e - 1))
        + (_oneSided * side * side) + (_shape * (Square(Math.Max(0, (modelling.Low * h) - y)) + Square(Math.Max(0, y - (modelling.High * h)))));

    private (double Face, double Flat, double Cylinder, double Side) Slope(double e, double h, double y, double side)
    {
        var (soft, hard) = (Math.Max(0, (modelling.Low * h) - y), Math.Max(0, y - (modelling.High * h)));
        return ((-2 * Short * Math.Max(0, Enough - e)) + (2 * _uneven * (e - 1)),
            2 * _shape * ((soft > 0 ? modelling.Low * soft : 0) - (hard > 0 ? modelling.High * hard : 0)), 2 * _shape * (hard - soft), 2 * _oneSided * side);
    }

    private static double Square(double v) => v * v;
}
