using System.Numerics;
using StageView.Light.Measure;

namespace StageView.Light.Grids;

/// <summary>Measures whole grids, on all processors.</summary>
public static class GridMeter
{
    /// <summary>Illuminance at every point of a grid. The result doesn't depend on the number of processors.</summary>
    public static LuxMap Measure(LightMeter meter, MeasuringGrid grid, Quantity quantity)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentOutOfRangeException.ThrowIfLessThan(grid.CountU, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(grid.CountV, 1);
        var lux = new float[grid.Count];
        var indirect = meter.HasIndirect ? new float[grid.Count] : null;
        const int run = 256;
        Parallel.For(0, (grid.Count + run - 1) / run, part =>
        {
            for (var i = part * run; i < Math.Min(grid.Count, (part + 1) * run); i++)
            {
                var here = At(meter, grid.Point(i % grid.CountU, i / grid.CountU), grid.Normal, quantity);
                lux[i] = here.Lux;
                indirect?[i] = here.Indirect;
            }
        });
        return new LuxMap { Grid = grid, Quantity = quantity, Lux = lux, Indirect = indirect };
    }

    /// <summary>One point.</summary>
    public static Illuminance At(LightMeter meter, Vector3 point, Vector3 normal, Quantity quantity)
    {
        ArgumentNullException.ThrowIfNull(meter);
        return quantity.Kind switch
        {
            QuantityKind.TowardPoint => meter.At(point, Vector3.Normalize(quantity.Argument - point)),
            QuantityKind.Vertical => meter.At(point, Vector3.Normalize(quantity.Argument with { Z = 0 })),
            QuantityKind.Cylindrical => meter.Cylindrical(point),
            QuantityKind.SemiCylindrical => meter.SemiCylindrical(point, quantity.Argument),
            _ => meter.At(point, normal),
        };
    }
}
