using StageView.Light.Geometry;

namespace StageView.Light.Tests.Geometry;

public sealed class AbsoluteOrientationTests
{
    /// <summary>
    /// The worked example of the three-dimensional conformal transformation in Ghilani, Adjustment Computations (points 1 to 4): scale .94996,
    /// omega 2°17'05.3", phi -0°33'02.8", kappa 224°32'10.9", shift 10233.858, 6549.981, 720.897. The points as public copies of the example have them, its
    /// results from memory. It weighs its points and ours doesn't, which makes three seconds of arc and three centimetres on these 2.5 km. Ours takes no
    /// scale: the one that least squares give for the turn found is put in.
    /// </summary>
    [Fact]
    public void A_geodesy_text_s_worked_example_comes_out()
    {
        Vector3d[] from =
            [new(1094.883, 820.085, 109.821), new(503.891, 1598.698, 117.685), new(2349.343, 207.658, 151.387), new(1395.320, 1348.853, 215.261)];
        Vector3d[] onto =
            [new(10037.81, 5262.09, 772.04), new(10956.68, 5128.17, 783.00), new(8780.08, 4840.29, 782.62), new(10185.80, 4700.21, 851.32)];
        var turn = AbsoluteOrientation.Of(from, onto) with { Shift = default };
        var (a, b) = (Vector3d.Mean(from), Vector3d.Mean(onto));
        var scale = from.Select((p, i) => Vector3d.Dot(onto[i] - b, turn.Turn(p - a))).Sum() / from.Sum(p => Vector3d.Dot(p - a, p - a));
        Assert.Equal(.94996, scale, 5e-6);
        var text = About(1, 0, 0, 2 + (17 / 60.0) + (5.3 / 3600)).After(About(0, 1, 0, -(33 / 60.0) - (2.8 / 3600)))
            .After(About(0, 0, 1, 224 + (32 / 60.0) + (10.9 / 3600)));
        Assert.True(turn.After(text.Inverse()).Angle * 180 / Math.PI * 3600 < 4);
        var motion = AbsoluteOrientation.Of([.. from.Select(p => p * scale)], onto);
        Assert.True((motion.Shift - new Vector3d(10233.858, 6549.981, 720.897)).Length < .05);

        // At the least sum of squares the turned points and their goals have no moment about the middle.
        var moment = from.Select((p, i) => Vector3d.Cross(turn.Turn(p - a), onto[i] - b)).Aggregate((m, n) => m + n);
        Assert.True(moment.Length < 1e-9 * from.Sum(p => Vector3d.Dot(p - a, p - a)));
    }

    [Fact]
    public void A_motion_is_undone_chained_and_said_in_the_degrees_of_rig_files()
    {
        var first = RigidMotion.About(new Vector3d(1, 2, 3), new Vector3d(.3, -.2, 2.1), new Vector3d(.5, 0, -4));
        var second = RigidMotion.About(new Vector3d(-4, 0, 1), new Vector3d(-1, .4, .1), new Vector3d(0, 7, 0));
        var p = new Vector3d(3, -8, 2);
        Assert.True((first.Inverse().Apply(first.Apply(p)) - p).Length < 1e-12);
        Assert.True((second.After(first).Apply(p) - second.Apply(first.Apply(p))).Length < 1e-12);
        Assert.True((first.Apply(new Vector3d(1, 2, 3)) - new Vector3d(1.5, 2, -1)).Length < 1e-12);
        var pose = Pose.FromDegrees(default, first.Degrees().ToSingle());
        Assert.True((Vector3d.From(pose.TransformDirection(p.ToSingle())) - first.Turn(p)).Length < 1e-5);
    }

    [Fact]
    public void Eigenvalues_and_inverse_are_those_of_a_matrix_solved_by_hand()
    {
        // Eigenvalues 3 (1, 1), 1 (1, -1); inverse 1/3 of [2, -1; -1, 2].
        var m = new double[,] { { 2, 1 }, { 1, 2 } };
        var (values, vectors) = SymmetricMatrix.Eigen(m);
        Assert.Equal(3, values[0], 1e-12);
        Assert.Equal(1, values[1], 1e-12);
        Assert.Equal(vectors[0, 0], vectors[1, 0], 1e-12);
        var inverse = SymmetricMatrix.Inverse(m)!;
        Assert.Equal(2 / 3.0, inverse[0, 0], 1e-12);
        Assert.Equal(-1 / 3.0, inverse[0, 1], 1e-12);
        Assert.Null(SymmetricMatrix.Inverse(new double[,] { { 1, 1 }, { 1, 1 } }));
    }

    private static RigidMotion About(double x, double y, double z, double degrees) =>
        RigidMotion.About(default, new Vector3d(x, y, z) * (degrees * Math.PI / 180), default);
}
