using StageView.Light.Geometry;

namespace StageView.Stage.Survey;

/// <summary>
/// Finds the rigid motion that brings rays through their marks: a start in closed form (points along the rays, Horn's absolute orientation, in turns), then
/// least squares on the angles by Levenberg and Marquardt's method.
/// </summary>
public static class PoseSolver
{
    /// <summary>Chi-square, two degrees of freedom: exceeded once in a thousand, -2 ln .001.</summary>
    public const double OnceInAThousand = 13.8155;

    private const double Step = 1e-6;

    // From how the rig file has it, and turned about the vertical: a part may be hung the wrong way round.
    private static readonly double[] s_starts = [0, Math.PI / 2, Math.PI, -Math.PI / 2];

    /// <param name="rays">Three at least.</param>
    /// <param name="spread">How far off readings are taken to be.</param>
    public static PoseFit Solve(IReadOnlyList<SightedRay> rays, AngleSpread spread)
    {
        ArgumentNullException.ThrowIfNull(rays);
        var angles = rays.Select(r => new RayAngles(r, spread)).ToArray();
        var middle = Vector3d.Mean([.. rays.Select(r => r.Origin)]);
        var found = s_starts.Select(yaw => Refine(angles, middle, Start(rays, RigidMotion.About(middle, new Vector3d(0, 0, yaw), default)))).ToList();
        var best = found.MinBy(f => f.Cost);
        var normal = Normal(angles, middle, best.Motion, out _);
        var covariance = Inverse(normal, rays, middle);
        return new PoseFit
        {
            Motion = best.Motion,
            Middle = middle,
            Covariance = covariance,
            Normal = normal,
            Cost = best.Cost,
            Freedom = (2 * rays.Count) - 6,
            Sightings = [.. rays.Select((r, i) => Fit(r, angles[i], middle, best.Motion, covariance))],
            Other = found.Where(f => f.Cost - best.Cost < OnceInAThousand && Differ(f.Motion, best.Motion, middle)).Select(f => (RigidMotion?)f.Motion)
                .FirstOrDefault(),
        };
    }

    /// <summary>Points along the rays, nearest to the marks; the motion that brings them onto the marks; and again.</summary>
    private static RigidMotion Start(IReadOnlyList<SightedRay> rays, RigidMotion motion)
    {
        Vector3d[] marks = [.. rays.Select(r => r.Mark)];
        for (var i = 0; i < 30; i++)
        {
            var back = motion.Inverse();
            motion = AbsoluteOrientation.Of([.. rays.Select(r => r.Origin + (r.Direction * Math.Max(.1, Along(r, back))))], marks);
        }

        return motion;
    }

    private static double Along(SightedRay ray, RigidMotion back) => Vector3d.Dot(back.Apply(ray.Mark) - ray.Origin, ray.Direction);

    private static (RigidMotion Motion, double Cost) Refine(RayAngles[] angles, Vector3d middle, RigidMotion motion)
    {
        var (cost, damping) = (CostOf(angles, motion), 1e-3);
        for (var i = 0; i < 200 && damping < 1e12; i++)
        {
            var normal = Normal(angles, middle, motion, out var right);
            var step = SymmetricMatrix.Solve(normal, right, damping);
            if (step is null)
            {
                damping *= 10;
                continue;
            }

            var next = Moved(motion, middle, step);
            var then = CostOf(angles, next);
            if (!(then < cost))
            {
                // Nothing is gained any more once steps are far below what matters.
                if (step.All(s => Math.Abs(s) < 1e-9))
                {
                    break;
                }

                damping *= 10;
                continue;
            }

            (motion, cost, damping) = (next, then, damping / 10);
        }

        return (motion, cost);
    }

    private static double CostOf(RayAngles[] angles, RigidMotion motion)
    {
        var (back, sum) = (motion.Inverse(), 0.0);
        foreach (var a in angles)
        {
            var (first, second) = a.Weighed(back);
            sum += (first * first) + (second * second);
        }

        return sum;
    }

    /// <summary>A motion with the middle taken a little further and the part turned a little more about it.</summary>
    private static RigidMotion Moved(RigidMotion motion, Vector3d middle, ReadOnlySpan<double> step) => RigidMotion.About(
        motion.Apply(middle), new Vector3d(step[3], step[4], step[5]), new Vector3d(step[0], step[1], step[2])).After(motion);

    private static double[,] Normal(RayAngles[] angles, Vector3d middle, RigidMotion motion, out double[] right)
    {
        var (normal, side, back) = (new double[6, 6], new double[6], motion.Inverse());
        foreach (var a in angles)
        {
            var change = Change(a, middle, motion);
            var (first, second) = a.Weighed(back);
            for (var r = 0; r < 6; r++)
            {
                side[r] -= (change[0, r] * first) + (change[1, r] * second);
                for (var c = 0; c < 6; c++)
                {
                    normal[r, c] += (change[0, r] * change[0, c]) + (change[1, r] * change[1, c]);
                }
            }
        }

        right = side;
        return normal;
    }

    /// <summary>How a sighting's two weighed angles change with the six unknowns, by differences either way.</summary>
    private static double[,] Change(RayAngles a, Vector3d middle, RigidMotion motion)
    {
        var change = new double[2, 6];
        Span<double> step = stackalloc double[6];
        for (var k = 0; k < 6; k++)
        {
            step.Clear();
            step[k] = Step;
            var more = a.Weighed(Moved(motion, middle, step).Inverse());
            step[k] = -Step;
            var less = a.Weighed(Moved(motion, middle, step).Inverse());
            (change[0, k], change[1, k]) = ((more.First - less.First) / (2 * Step), (more.Second - less.Second) / (2 * Step));
        }

        return change;
    }

    /// <summary>The inverse, unless one direction is a hundred thousand times less certain than another, lengths taken in distances of the marks.</summary>
    private static double[,]? Inverse(double[,] normal, IReadOnlyList<SightedRay> rays, Vector3d middle)
    {
        var length = rays.Average(r => (r.Mark - middle).Length);
        var even = new double[6, 6];
        for (var r = 0; r < 6; r++)
        {
            for (var c = 0; c < 6; c++)
            {
                even[r, c] = normal[r, c] * (r < 3 ? length : 1) * (c < 3 ? length : 1);
            }
        }

        var (values, _) = SymmetricMatrix.Eigen(even);
        return values[5] > values[0] * 1e-10 ? SymmetricMatrix.Inverse(normal) : null;
    }

    private static SightingFit Fit(SightedRay ray, RayAngles angles, Vector3d middle, RigidMotion motion, double[,]? covariance)
    {
        var back = motion.Inverse();
        var (across, up) = angles.Off(back);
        var angle = Math.Sqrt((across * across) + (up * up));
        var to = back.Apply(ray.Mark) - ray.Origin;
        var miss = Along(ray, back) > 0 ? Vector3d.Cross(to, ray.Direction).Length : to.Length;
        if (covariance is null)
        {
            return new SightingFit(angle, miss, 0, 0);
        }

        var (change, (first, second)) = (Change(angles, middle, motion), angles.Weighed(back));
        var own = new double[,] { { 1, 0 }, { 0, 1 } };
        for (var r = 0; r < 2; r++)
        {
            for (var c = 0; c < 2; c++)
            {
                for (var i = 0; i < 6; i++)
                {
                    for (var j = 0; j < 6; j++)
                    {
                        own[r, c] -= change[r, i] * covariance[i, j] * change[c, j];
                    }
                }
            }
        }

        // A direction that the others hardly check says nothing of the sighting.
        var (values, vectors) = SymmetricMatrix.Eigen(own);
        var test = 0.0;
        for (var k = 0; k < 2; k++)
        {
            var part = (vectors[0, k] * first) + (vectors[1, k] * second);
            test += values[k] > .02 ? part * part / values[k] : 0;
        }

        return new SightingFit(angle, miss, test, Math.Clamp((own[0, 0] + own[1, 1]) / 2, 0, 1));
    }

    private static bool Differ(RigidMotion a, RigidMotion b, Vector3d middle) =>
        (a.Apply(middle) - b.Apply(middle)).Length > .05 || a.After(b.Inverse()).Angle > .01;
}
