using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Grids;

/// <summary>Illuminance over the surface of a mesh: at each triangle's middle, on its outer side, weighted by area.</summary>
public static class MeshMeter
{
    /// <summary>Measures one piece of scenery.</summary>
    public static MeshLux Measure(LightMeter meter, in MeshInstance piece)
    {
        ArgumentNullException.ThrowIfNull(meter);
        var mesh = meter.Moment.Meshes[piece.Mesh.Value];
        var count = mesh.Indices.Length / 3;
        var (points, lux, areas) = (new Vector3[count], new float[count], new float[count]);
        var indirect = meter.HasIndirect ? new float[count] : null;
        var p = piece;
        Parallel.For(0, count, i =>
        {
            var a = p.Pose.TransformPoint(mesh.Positions[mesh.Indices[3 * i]] * p.Scale);
            var b = p.Pose.TransformPoint(mesh.Positions[mesh.Indices[(3 * i) + 1]] * p.Scale);
            var c = p.Pose.TransformPoint(mesh.Positions[mesh.Indices[(3 * i) + 2]] * p.Scale);
            var n = Vector3.Cross(b - a, c - a);
            var area = n.Length() / 2;
            points[i] = (a + b + c) / 3;
            areas[i] = area;
            var here = area > 1e-12f ? meter.At(points[i], n / (2 * area)) : default;
            lux[i] = here.Lux;
            indirect?[i] = here.Indirect;
        });
        return new MeshLux(points, lux, areas) { Indirect = indirect };
    }
}

/// <param name="Points">Triangle middles, m.</param>
/// <param name="Lux">lx.</param>
/// <param name="Areas">m².</param>
public sealed record MeshLux(Vector3[] Points, float[] Lux, float[] Areas)
{
    /// <summary>What of it comes from matt surfaces, lx; null where the meter leaves it out.</summary>
    public float[]? Indirect { get; init; }

    /// <summary>Mean over the area, lx.</summary>
    public double Average => Mean(Lux);

    /// <summary>Mean of <see cref="Indirect"/>, lx; null where the meter leaves it out.</summary>
    public double? AverageIndirect => Indirect is null ? null : Mean(Indirect);

    private double Mean(float[] values)
    {
        double sum = 0, area = 0;
        for (var i = 0; i < values.Length; i++)
        {
            sum += (double)values[i] * Areas[i];
            area += Areas[i];
        }

        return area > 0 ? sum / area : 0;
    }
}
