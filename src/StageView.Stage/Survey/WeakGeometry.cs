using System.Globalization;
using StageView.Light.Geometry;

namespace StageView.Stage.Survey;

/// <summary>Why sightings can't tell where a part hangs.</summary>
/// <param name="Why">The reason.</param>
/// <param name="Cure">What would cure it.</param>
public sealed record WeakGeometry(string Why, string Cure)
{
    /// <summary>Three sightings fix a pose and check nothing.</summary>
    public const int FewestSightings = 4;

    /// <summary>Largest standard deviation of the heads' middle in any direction that is taken, m.</summary>
    public const double MostMetres = .1;

    /// <summary>Largest standard deviation of the part's turn about any axis that is taken, degrees.</summary>
    public const double MostDegrees = 1;

    /// <summary>What is weak, or null.</summary>
    /// <param name="rays">The part's rays.</param>
    /// <param name="fit">How they fit; null before they were tried, for what can be told without.</param>
    public static WeakGeometry? Of(IReadOnlyList<SightedRay> rays, PoseFit? fit)
    {
        ArgumentNullException.ThrowIfNull(rays);
        if (rays.Count < FewestSightings)
        {
            return new WeakGeometry($"it has {(rays.Count == 1 ? "one sighting" : $"{rays.Count} sightings")}: three fix a place and leave nothing to check it",
                "aim heads at more marks: four sightings at least, six or more are better");
        }

        var marks = rays.Select(r => r.Mark).Distinct().ToList();
        if (marks.Count < 3)
        {
            return new WeakGeometry(marks.Count == 1 ? "all sightings are of one mark: it could turn about that" :
                "all sightings are of two marks: it could turn about the line through them",
                "aim at a third mark that is off their line, a few metres away");
        }

        if (fit is null)
        {
            return null;
        }

        var (metres, degrees) = fit.Covariance is { } c ? (Worst(c, 0), Worst(c, 3) * 180 / Math.PI) : (double.PositiveInfinity, double.PositiveInfinity);
        if (metres <= MostMetres && degrees <= MostDegrees)
        {
            return fit.Other is { } other ? Twofold(fit, other) : null;
        }

        var open = fit.Covariance is null ? "its place stays open" : string.Create(CultureInfo.InvariantCulture,
            $"its place would be known to ±{metres:0.00} m and ±{degrees:0.0} degrees (one standard deviation), of which ±{MostMetres:0.0} m and ")
            + string.Create(CultureInfo.InvariantCulture, $"±{MostDegrees:0} degree are the most that is taken");
        var (along, off) = LineOf(marks);
        if (off < .2 * along)
        {
            return new WeakGeometry(string.Create(CultureInfo.InvariantCulture,
                $"all marks lie within {2 * off:0.00} m of one line, about which it could turn: {open}"),
                "aim at marks well off that line, upstage and downstage of it or on a wall");
        }

        var widest = Widest(rays);
        return widest < 25
            ? new WeakGeometry(string.Create(CultureInfo.InvariantCulture,
                $"all beams go within {widest:0} degrees of one direction, so that the distance stays open: {open}"),
                "aim at marks in other directions, too: left and right, upstage and downstage, on floor and walls")
            : new WeakGeometry(open, "add sightings: marks further apart, heads further apart; or read the angles more finely and state it with --sigma");
    }

    private static WeakGeometry Twofold(PoseFit fit, RigidMotion other)
    {
        var (metres, radians) = ((fit.Motion.Apply(fit.Middle) - other.Apply(fit.Middle)).Length, fit.Motion.After(other.Inverse()).Angle);
        return new WeakGeometry(
            string.Create(CultureInfo.InvariantCulture, $"it fits in two places, {metres:0.00} m and {radians * 180 / Math.PI:0.0} degrees apart"),
            "aim at further marks, not in one plane with the others, and with heads that are far apart");
    }

    /// <summary>Standard deviation in the worst direction of three of the unknowns.</summary>
    public static double Worst(double[,] covariance, int first)
    {
        ArgumentNullException.ThrowIfNull(covariance);
        var part = new double[3, 3];
        for (var r = 0; r < 3; r++)
        {
            for (var k = 0; k < 3; k++)
            {
                part[r, k] = covariance[first + r, first + k];
            }
        }

        return Math.Sqrt(SymmetricMatrix.Eigen(part).Values[0]);
    }

    /// <summary>Root mean squares of the marks along their longest direction and across it, m.</summary>
    private static (double Along, double Off) LineOf(List<Vector3d> marks)
    {
        var (middle, spread) = (Vector3d.Mean(marks), new double[3, 3]);
        foreach (var m in marks)
        {
            double[] v = [m.X - middle.X, m.Y - middle.Y, m.Z - middle.Z];
            for (var r = 0; r < 3; r++)
            {
                for (var c = 0; c < 3; c++)
                {
                    spread[r, c] += v[r] * v[c] / marks.Count;
                }
            }
        }

        var (values, _) = SymmetricMatrix.Eigen(spread);
        return (Math.Sqrt(Math.Max(0, values[0])), Math.Sqrt(Math.Max(0, values[1] + values[2])));
    }

    /// <summary>Angle of the beam that is furthest from the mean direction, degrees.</summary>
    private static double Widest(IReadOnlyList<SightedRay> rays)
    {
        var mean = Vector3d.Mean([.. rays.Select(r => r.Direction)]);
        return mean.Length < 1e-6 ? 180 : rays.Max(r => Math.Acos(Math.Clamp(Vector3d.Dot(r.Direction, mean.Unit), -1, 1))) * 180 / Math.PI;
    }
}
