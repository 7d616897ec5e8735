using System.Globalization;
using System.Numerics;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Rig.Pieces;

namespace StageView.Show.Questions;

/// <summary>What a question about illuminance asked for, as written.</summary>
public sealed record LuxAsked(
    IReadOnlyList<string> On, string Measure, bool ClearAir, double? Least, string? Modelling, string? Reach)
{
    /// <summary>Whether what matt surfaces throw on each other counts.</summary>
    public bool Indirect { get; init; } = true;

    public bool IsCheck => Least is not null || Modelling is not null;

    public MeterSettings Settings => ClearAir ? MeterSettings.ClearAir : MeterSettings.Default;

    /// <exception cref="StopException">It names nothing that can be measured.</exception>
    public Quantity Quantity(RigScene rig)
    {
        var (word, rest) = Measure.Split(':', 2) is [var a, var b] ? (a, b) : (Measure, "");
        switch (word.ToLowerInvariant())
        {
            case "plane":
                return new Quantity(QuantityKind.Plane);
            case "cylindrical":
                return new Quantity(QuantityKind.Cylindrical);
            case "camera":
                var camera = rig.Cameras.FirstOrDefault(c => c.Name.Equals(rest, StringComparison.OrdinalIgnoreCase))
                    ?? throw StopException.Wrong(
                        $"--measure {Measure}: {rig.File} has no camera named {rest}{rig.WhereGone(rest)}; it has "
                        + $"{string.Join(", ", rig.Cameras.Select(c => c.Name))}");
                return new Quantity(QuantityKind.TowardPoint, camera.Position);
            case "vertical":
                return new Quantity(QuantityKind.Vertical, Direction(rest));
            case "semicylindrical":
                return new Quantity(QuantityKind.SemiCylindrical, Direction(rest));
            default:
                throw StopException.Wrong($"--measure {Measure}: write plane, camera:NAME, vertical:x,y, cylindrical or semicylindrical:x,y");
        }
    }

    /// <exception cref="StopException">Not two rising numbers.</exception>
    public (double Low, double High) ModellingRange()
    {
        if (Modelling is null)
        {
            return (double.NegativeInfinity, double.PositiveInfinity);
        }

        var parts = Modelling.Split('-');
        return parts.Length == 2
            && double.TryParse(parts[0], NumberStyles.Float, CultureInfo.InvariantCulture, out var low)
            && double.TryParse(parts[1], NumberStyles.Float, CultureInfo.InvariantCulture, out var high) && low < high
                ? (low, high)
                : throw StopException.Wrong($"--modelling {Modelling} is no range: write LOW-HIGH, such as 0.3-0.6");
    }

    private Vector3 Direction(string text) => Texts.TryPoint(text + ",0", out var d) && d.LengthSquared() > 1e-6f
        ? d
        : throw StopException.Wrong($"--measure {Measure}: the direction is written x,y: vertical:0,-1 faces the audience");
}
