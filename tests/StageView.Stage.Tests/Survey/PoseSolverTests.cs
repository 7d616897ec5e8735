using StageView.Light.Geometry;
using StageView.Stage.Survey;

namespace StageView.Stage.Tests.Survey;

public sealed class PoseSolverTests
{
    [Theory]
    [InlineData(0, 0, 0, 0)]
    [InlineData(.02, -.03, .05, .3)]
    [InlineData(0, 0, 3.1, 1)]
    [InlineData(-.4, .3, -1.2, 2)]
    public void Exact_sightings_give_the_known_place_to_a_tenth_of_a_millimetre(double x, double y, double z, double off)
    {
        var truth = RigidMotion.About(new Vector3d(0, 2, 7), new Vector3d(x, y, z), new Vector3d(off, -off / 2, -off));
        var fit = PoseSolver.Solve(SurveyRig.Exact(truth, SurveyRig.Pairs), AngleSpread.Default);
        foreach (var h in SurveyRig.Heads)
        {
            var at = Vector3d.From(h.Pose.Position);
            Assert.True((fit.Motion.Apply(at) - truth.Apply(at)).Length < 1e-4);
        }

        Assert.True(fit.Motion.After(truth.Inverse()).Angle < 2e-5);
        Assert.True(fit.Cost < 1e-3);
        Assert.Null(fit.Other);
        Assert.Equal(18, fit.Freedom);
        Assert.All(fit.Sightings, s => Assert.True(s.Miss < 2e-4));
    }

    /// <summary>
    /// By hand: the file has two lenses at 5 m, they hang at 4 m. A mark 4 m to the side is then seen at 45 degrees, one 3 m to the side at arctan 3/4.
    /// </summary>
    [Fact]
    public void Lenses_a_metre_low_are_found_from_angles_worked_by_hand()
    {
        var (half, five) = (Math.Sqrt(.5), new Vector3d(-1, 0, 5));
        var other = new Vector3d(1, 0, 5);
        SightedRay[] rays =
        [
            Ray(five, new(half, 0, -half), new(3, 0, 0)), Ray(five, new(0, half, -half), new(-1, 4, 0)), Ray(five, new(-.6, 0, -.8), new(-4, 0, 0)),
            Ray(other, new(-half, 0, -half), new(-3, 0, 0)), Ray(other, new(0, -.6, -.8), new(1, -3, 0)), Ray(other, new(0, half, -half), new(1, 4, 0)),
        ];
        var fit = PoseSolver.Solve(rays, AngleSpread.Default);
        Assert.True((fit.Moved - new Vector3d(0, 0, -1)).Length < 1e-9);
        Assert.True(fit.Motion.Angle < 1e-9);
        Assert.Null(WeakGeometry.Of(rays, fit));
    }

    /// <summary>
    /// The example of Fischler and Bolles, Communications of the ACM 24 (1981), 381-395 (from memory, and checked by the cosine rule): marks in an equilateral
    /// triangle of side 2√3, seen from one point at angles of cosine 5/8, lie at 4, 4, 4 from it, or at 1, 4, 4: more than one place meets three readings.
    /// </summary>
    [Fact]
    public void Three_sightings_from_one_point_are_met_in_more_than_one_place()
    {
        Vector3d[] marks = [new(2, 0, 0), new(-1, Math.Sqrt(3), 0), new(-1, -Math.Sqrt(3), 0)];
        Vector3d[] places = [new(0, 0, Math.Sqrt(12)), new(2.5, 0, Math.Sqrt(.75))];
        var askew = RigidMotion.About(default, new Vector3d(.01, .02, -.01), new Vector3d(.02, -.01, .015));
        foreach (var place in places)
        {
            SightedRay[] rays = [.. marks.Select(m => Ray(askew.Apply(place), askew.Turn((m - place).Unit), m))];
            Assert.Equal(.625, Vector3d.Dot(rays[0].Direction, rays[1].Direction), 1e-12);
            Assert.Equal(.625, Vector3d.Dot(rays[1].Direction, rays[2].Direction), 1e-12);
            var fit = PoseSolver.Solve(rays, AngleSpread.Default);
            Assert.True(fit.Cost < 1e-9);
            Assert.Contains("three fix a place and leave nothing to check it", WeakGeometry.Of(rays, fit)!.Why, StringComparison.Ordinal);
        }

        Assert.Equal([4, 4, 4], marks.Select(m => (m - places[0]).Length), (a, b) => Math.Abs(a - b) < 1e-12);
        Assert.Equal([1, 4, 4], marks.Select(m => (m - places[1]).Length), (a, b) => Math.Abs(a - b) < 1e-12);
    }

    [Fact]
    public void The_stated_covariance_is_that_of_readings_with_such_errors()
    {
        const int Runs = 3000;
        const double Degrees = .2;
        var random = new Random(20261130);
        var read = SurveyRig.Pairs.Select(p => (p.Head, p.Mark, Angles: SurveyRig.Read(p.Head, SurveyRig.Truth, p.Mark))).ToList();
        var spread = AngleSpread.OfDegrees(Degrees, .001);
        var (squares, stated, whole, costs) = (new double[6], new double[6], 0.0, 0.0);
        for (var run = 0; run < Runs; run++)
        {
            SightedRay[] rays = [.. read.Select(r => SurveyRig.Ray(
                r.Head, r.Mark, r.Angles.Pan + (Degrees * Normal(random)), r.Angles.Tilt + (Degrees * Normal(random))))];
            var fit = PoseSolver.Solve(rays, spread);
            var off = fit.Motion.After(SurveyRig.Truth.Inverse());
            var moved = fit.Motion.Apply(fit.Middle) - SurveyRig.Truth.Apply(fit.Middle);
            double[] e = [moved.X, moved.Y, moved.Z, 2 * off.I * Math.Sign(off.W), 2 * off.J * Math.Sign(off.W), 2 * off.K * Math.Sign(off.W)];
            for (var r = 0; r < 6; r++)
            {
                squares[r] += e[r] * e[r] / Runs;
                stated[r] += fit.Covariance![r, r] / Runs;
                for (var c = 0; c < 6; c++)
                {
                    whole += e[r] * fit.Normal[r, c] * e[c] / Runs;
                }
            }

            costs += fit.Cost / Runs;
        }

        // The mean square of 3000 errors is itself known to 2.6 percent.
        for (var k = 0; k < 6; k++)
        {
            Assert.InRange(squares[k] / stated[k], .9, 1.1);
        }

        // Chi-square of six: the correlations hold, too. And the cost is that of as many angles as are beyond six.
        Assert.InRange(whole / 6, .9, 1.1);
        Assert.InRange(costs / 18, .9, 1.1);
    }

    [Fact]
    public void A_wrong_reading_is_the_worst_by_its_test()
    {
        var rays = SurveyRig.Exact(SurveyRig.Truth, SurveyRig.Pairs);
        var (head, mark) = SurveyRig.Pairs.ElementAt(5);
        var (pan, tilt) = SurveyRig.Read(head, SurveyRig.Truth, mark);
        rays[5] = SurveyRig.Ray(head, mark, pan, tilt + 3);
        var fit = PoseSolver.Solve(rays, AngleSpread.Default);
        Assert.True(fit.Cost > ChiSquare.OnceInAThousand(fit.Freedom));
        var tests = fit.Sightings.Select(s => s.Test).ToArray();
        Assert.Equal(5, Array.IndexOf(tests, tests.Max()));
        Assert.All(fit.Sightings, s => Assert.InRange(s.Checked, .3, 1));

        // Without it the others fit: what the test says the cost would fall by is what it falls by.
        var less = PoseSolver.Solve([.. rays.Where((_, i) => i != 5)], AngleSpread.Default);
        Assert.Equal(fit.Cost - less.Cost, tests[5], .02 * tests[5]);
    }

    [Theory]
    [InlineData(2, 13.816)]
    [InlineData(10, 29.588)]
    [InlineData(18, 42.312)]
    public void Chi_square_is_the_handbooks_table(int freedom, double table) =>
        // Percentage points of chi-square at .001, as statistical tables have them (from memory); the approximation is good to two and a half percent.
        Assert.Equal(table, ChiSquare.OnceInAThousand(freedom), .025 * table);

    private static SightedRay Ray(Vector3d origin, Vector3d direction, Vector3d mark)
    {
        var across = Vector3d.Cross(direction, new Vector3d(.3, .5, .8)).Unit;
        return new SightedRay(origin, direction, across, Vector3d.Cross(direction, across), mark);
    }

    /// <summary>Box and Muller's pair, the first of it.</summary>
    private static double Normal(Random random) => Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
}
