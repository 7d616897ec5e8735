namespace StageView.Light.Grids;

/// <summary>Illuminance on a grid, row by row.</summary>
public sealed record LuxMap
{
    public required MeasuringGrid Grid { get; init; }

    public required Quantity Quantity { get; init; }

    /// <summary>lx, row by row: point (u, v) at v × CountU + u.</summary>
    public required float[] Lux { get; init; }

    /// <summary>Mean over the points, lx.</summary>
    public double Average => Lux.Length == 0 ? 0 : Lux.Average(v => (double)v);

    public double Minimum => Lux.Length == 0 ? 0 : Lux.Min();

    public double Maximum => Lux.Length == 0 ? 0 : Lux.Max();

    /// <summary>Uniformity U0: minimum over average (EN 12464-1); 0 in the dark.</summary>
    public double Uniformity => Average > 0 ? Minimum / Average : 0;

    /// <summary>Minimum over maximum, Ud; 0 in the dark.</summary>
    public double Diversity => Maximum > 0 ? Minimum / Maximum : 0;
}
