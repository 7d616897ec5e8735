namespace StageView.Light.Grids;

/// <summary>Illuminance on a grid, row by row.</summary>
public sealed record LuxMap
{
    public required MeasuringGrid Grid { get; init; }

    public required Quantity Quantity { get; init; }

    /// <summary>lx, row by row: point (u, v) at v × CountU + u.</summary>
    public required float[] Lux { get; init; }

    /// <summary>What of it comes from matt surfaces, lx, in the same order; null where the meter leaves it out.</summary>
    public float[]? Indirect { get; init; }

    /// <summary>
    /// Mean over the area or line, lx: the points stand at its border, too, where each speaks for half a step and in the corners for a quarter
    /// (trapezoidal rule).
    /// </summary>
    public double Average => Mean(Lux);

    /// <summary>Mean of <see cref="Indirect"/>, lx; null where the meter leaves it out.</summary>
    public double? AverageIndirect => Indirect is null ? null : Mean(Indirect);

    public double Minimum => Lux.Length == 0 ? 0 : Lux.Min();

    public double Maximum => Lux.Length == 0 ? 0 : Lux.Max();

    /// <summary>Uniformity U0: minimum over average (EN 12464-1); 0 in the dark.</summary>
    public double Uniformity => Average > 0 ? Minimum / Average : 0;

    /// <summary>Minimum over maximum, Ud; 0 in the dark.</summary>
    public double Diversity => Maximum > 0 ? Minimum / Maximum : 0;

    private double Mean(float[] values)
    {
        var (sum, weights) = (0.0, 0.0);
        for (var i = 0; i < values.Length; i++)
        {
            var weight = Weight(i % Grid.CountU, Grid.CountU) * Weight(i / Grid.CountU, Grid.CountV);
            (sum, weights) = (sum + (weight * values[i]), weights + weight);
        }

        return weights > 0 ? sum / weights : 0;
    }

    private static double Weight(int i, int count) => count > 1 && (i == 0 || i == count - 1) ? .5 : 1;
}
