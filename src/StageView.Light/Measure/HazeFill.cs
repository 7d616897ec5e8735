using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Radiance;

namespace StageView.Light.Measure;

/// <summary>
/// What haze scatters on of light that it has scattered before: as cells of radiance per metre towards an eye, and at a point.
/// <code>
/// S = σs Σ F e^(-σt s) p(μ) ds / V      over the flights through a cell of volume V, μ towards the eye
/// E = Σ F e^(-σt s) weight ds / V       over the flights through a ball, or half of one before a plane
/// </code>
/// </summary>
public sealed class HazeFill
{
    /// <summary>Cells, about.</summary>
    private const int Cells = 32_000;

    private const float LeastCell = 0.3f;

    /// <summary>Of the ball around a point, m.</summary>
    private const float Ball = 0.8f;

    private const int Parts = 4;

    private readonly HazeFlights _flights;

    /// <param name="flights">Of the moment.</param>
    public HazeFill(HazeFlights flights)
    {
        ArgumentNullException.ThrowIfNull(flights);
        _flights = flights;
        var size = flights.High - flights.Low;
        var side = MathF.Max(LeastCell, Trig.Cbrt(size.X * size.Y * size.Z / Cells));
        (Columns, Across, Layers) = (Count(size.X, side), Count(size.Y, side), Count(size.Z, side));
        Cell = size / new Vector3(Columns, Across, Layers);
    }

    /// <summary>Corner of the cells, m.</summary>
    public Vector3 Low => _flights.Low;

    /// <summary>Size of a cell, m.</summary>
    public Vector3 Cell { get; }

    /// <summary>Cells along x.</summary>
    public int Columns { get; }

    /// <summary>Cells along y.</summary>
    public int Across { get; }

    /// <summary>Cells along z.</summary>
    public int Layers { get; }

    /// <summary>Radiance per metre that each cell sends to an eye, linear Rec.709 in cd/m³; x fastest, then y, then z; w 0.</summary>
    public Vector4[] Towards(Vector3 eye)
    {
        var parts = new Vector4[Parts][];
        Parallel.For(0, Parts, p => parts[p] = Towards(eye, p));
        var sum = parts[0];
        for (var p = 1; p < Parts; p++)
        {
            for (var i = 0; i < sum.Length; i++)
            {
                sum[i] += parts[p][i];
            }
        }

        return sum;
    }

    private Vector4[] Towards(Vector3 eye, int part)
    {
        var cells = new Vector4[Columns * Across * Layers];
        var (haze, fineness) = (_flights.Haze, Vector3.One / Cell);
        var flights = _flights.All;
        var most = new Vector3(Columns - 1, Across - 1, Layers - 1);
        var pace = 0.5f * MathF.Min(Cell.X, MathF.Min(Cell.Y, Cell.Z));
        var whole = haze.ScatteringPerMetre / (Cell.X * Cell.Y * Cell.Z);
        for (var i = part * flights.Length / Parts; i < (part + 1) * flights.Length / Parts; i++)
        {
            ref readonly var f = ref flights[i];
            var steps = (int)MathF.Ceiling(f.Length / pace);
            var step = f.Length / steps;
            var left = MathF.Exp(-haze.ExtinctionPerMetre * step);
            // Each step loses as much as the one before: at its middle half of it.
            var light = whole * step * MathF.Sqrt(left);
            for (var k = 0; k < steps; k++, light *= left)
            {
                var at = f.From + (f.Direction * ((k + 0.5f) * step));
                var cosine = Vector3.Dot(f.Direction, Vector3.Normalize(eye - at));
                var cell = Vector3.Clamp((at - Low) * fineness, Vector3.Zero, most);
                cells[(((((int)cell.Z) * Across) + (int)cell.Y) * Columns) + (int)cell.X]
                    += new Vector4(f.Flux * (light * (float)ReferenceRadiance.Phase(haze.Anisotropy, cosine)), 0);
            }
        }

        return cells;
    }

    /// <summary>What a receiver gets at a point of light that the haze scattered at least once, linear Rec.709 in lx.</summary>
    /// <param name="point">m.</param>
    /// <param name="receiver">The receiver.</param>
    /// <param name="counts">Whether light of a beam counts there: what <see cref="ForwardScatter"/> has, doesn't.</param>
    internal Vector3 At<TReceiver>(Vector3 point, in TReceiver receiver, ReadOnlySpan<bool> counts)
        where TReceiver : struct, IReceiver
    {
        var (sum, square, normal) = (Vector3.Zero, Ball * Ball, receiver.Normal);
        foreach (ref readonly var f in _flights.All)
        {
            var to = point - f.From;
            var closest = Vector3.Dot(to, f.Direction);
            var half = square - (to.LengthSquared() - (closest * closest));
            if (half <= 0 || (!f.Beam.IsNone && !counts[f.Beam.Value]))
            {
                continue;
            }

            half = MathF.Sqrt(half);
            var (a, b) = (MathF.Max(0, closest - half), MathF.Min(f.Length, closest + half));
            // Of the ball the half before a plane: what lies behind may be a wall's inside.
            var (behind, slope) = (Vector3.Dot(to, normal), Vector3.Dot(f.Direction, normal));
            a = slope > 1e-6f ? MathF.Max(a, behind / slope) : a;
            b = slope < -1e-6f ? MathF.Min(b, behind / slope) : b;
            if (b > a)
            {
                sum += f.Flux * ((b - a) * receiver.Weight(-f.Direction) * MathF.Exp(-0.5f * (a + b) * _flights.Haze.ExtinctionPerMetre));
            }
        }

        return sum / ((normal == Vector3.Zero ? 4 : 2) / 3f * MathF.PI * square * Ball);
    }

    private static int Count(float size, float side) => Math.Max(1, (int)MathF.Round(size / side));
}
