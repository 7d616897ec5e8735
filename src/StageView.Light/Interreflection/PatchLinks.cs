using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Sampling;

namespace StageView.Light.Interreflection;

/// <summary>
/// Which share of the light that leaves a patch arrives at which other: the form factors, with what mirrors and haze take on the way. Geometry alone: whatever
/// shines, they stay.
/// </summary>
/// <remarks>
/// Each patch sends rays as often as the cosine says. What two patches tell of each other is put together by A·F(a to b) = B·F(b to a) (reciprocity, e.g.
/// Goral et al. 1984, SIGGRAPH), the better known one of both counting more; then rows are balanced so that from each patch as much arrives as its rays said.
/// So no light is lost or won: energy adds up to the last iteration's rest. Rays that set out inside a closed body tell how much of the patch it stands on.
/// </remarks>
internal sealed class PatchLinks
{
    private const int MostRays = 1024;
    private const int LeastRays = 32;
    private const int AllRays = 1_500_000;
    private const int Balances = 12;

    private readonly int[] _starts;
    private readonly int[] _to;
    private readonly float[] _factors;
    private readonly RayWay[] _ways;

    public PatchLinks(MattRays rays)
    {
        var patches = rays.Patches;
        var count = patches.Count;
        RaysEach = Math.Clamp((int)BitOperations.RoundUpToPowerOf2((uint)(AllRays / Math.Max(1, count))) / 2, LeastRays, MostRays);
        var rows = new (int To, float Share)[count][];
        _ways = new RayWay[count];
        var uncovered = new float[count];
        Parallel.For(0, count, () => new Dictionary<int, float>(), (i, _, met) =>
        {
            met.Clear();
            rows[i] = Row(rays, i, met, out uncovered[i]);
            return met;
        }, _ => { });

        patches.Uncover(uncovered);
        // A·F of both ways together, each place of the matrix told by its row and by its column.
        var areas = patches.Areas;
        var counts = new int[count + 1];
        for (var i = 0; i < count; i++)
        {
            foreach (var (j, _) in rows[i])
            {
                counts[i]++;
                counts[j] += j == i ? 0 : 1;
            }
        }

        var starts = new int[count + 1];
        for (var i = 0; i < count; i++)
        {
            starts[i + 1] = starts[i] + counts[i];
        }

        var (to, flows, filled) = (new int[starts[count]], new double[starts[count]], new int[count]);
        void Put(int row, int column, double flow)
        {
            var at = starts[row] + filled[row]++;
            (to[at], flows[at]) = (column, flow);
        }

        var wanted = new double[count];
        for (var i = 0; i < count; i++)
        {
            foreach (var (j, share) in rows[i])
            {
                wanted[i] += areas[i] * share;
                if (j == i)
                {
                    Put(i, i, areas[i] * share);
                    continue;
                }

                // A patch's word on A·F errs with its own area: the smaller of two knows better.
                var flow = areas[i] * areas[j] / (areas[i] + areas[j]) * share;
                Put(i, j, flow);
                Put(j, i, flow);
            }
        }

        // The same column may stand twice in a row: once by its own rays, once by the other's.
        Parallel.For(0, count, i => filled[i] = Merge(to.AsSpan(starts[i], filled[i]), flows.AsSpan(starts[i], filled[i])));
        (_starts, _to, _factors) = Balance(starts, filled, to, flows, wanted, patches);
    }

    /// <summary>Rays that each patch sent.</summary>
    public int RaysEach { get; }

    /// <summary>Links in all.</summary>
    public int Count => _to.Length;

    /// <summary>Share of what leaves patch <paramref name="from"/> that arrives at <paramref name="to"/>, 0 to 1.</summary>
    public double Factor(int from, int to)
    {
        var sum = 0.0;
        for (var k = _starts[from]; k < _starts[from + 1]; k++)
        {
            sum += _to[k] == to ? _factors[k] : 0;
        }

        return sum;
    }

    /// <summary>Where the light that a patch throws back goes, all together.</summary>
    public RayWay WayOf(int patch) => _ways[patch];

    /// <summary>Whether a closed body stands on all of a patch.</summary>
    public bool IsCovered(int patch) => _ways[patch] == default;

    /// <summary>What the others' radiant exitance (lm/m²) gives each patch, lx.</summary>
    public void Gather(Vector3[] exitance, Vector3[] lux) => Parallel.For(0, (lux.Length + 255) / 256, part =>
    {
        for (var i = part * 256; i < Math.Min(lux.Length, (part + 1) * 256); i++)
        {
            var sum = Vector3.Zero;
            for (var k = _starts[i]; k < _starts[i + 1]; k++)
            {
                sum += exitance[_to[k]] * _factors[k];
            }

            lux[i] = sum;
        }
    });

    private (int, float)[] Row(MattRays rays, int patch, Dictionary<int, float> met, out float uncovered)
    {
        var sent = 0;
        Span<uint> shift = [Sobol.Shift(patch, 0), Sobol.Shift(patch, 1), Sobol.Shift(patch, 2), Sobol.Shift(patch, 3)];
        for (var r = 0; r < RaysEach; r++)
        {
            var from = rays.Patches.Place(patch, Sobol.At(r, 2, shift[2]), Sobol.At(r, 3, shift[3]), out var normal);
            var direction = MattRays.Cosine(normal, Sobol.At(r, 0, shift[0]), Sobol.At(r, 1, shift[1]));
            var to = rays.Follow(from + (normal * LightMeter.Lift), direction, FixtureIndex.None, out var way);
            if (to == PatchMap.Inside)
            {
                continue;
            }

            sent++;
            _ways[patch] = _ways[patch].Plus(way, 1);
            if (to >= 0)
            {
                met[to] = met.GetValueOrDefault(to) + way.Share;
            }
        }

        var each = 1f / Math.Max(1, sent);
        uncovered = (float)sent / RaysEach;
        _ways[patch] = default(RayWay).Plus(_ways[patch], each);
        return [.. met.OrderBy(m => m.Key).Select(m => (m.Key, m.Value * each))];
    }

    private static int Merge(Span<int> to, Span<double> flows)
    {
        to.Sort(flows);
        var last = -1;
        for (var k = 0; k < to.Length; k++)
        {
            if (last >= 0 && to[last] == to[k])
            {
                flows[last] += flows[k];
            }
            else
            {
                (to[++last], flows[last]) = (to[k], flows[k]);
            }
        }

        return last + 1;
    }

    /// <summary>Scales rows and columns alike until each row has the sum wanted (Sinkhorn and Knopp 1967), then leaves A·F for F.</summary>
    private static (int[] Starts, int[] To, float[] Factors) Balance(
        int[] starts, int[] filled, int[] to, double[] flows, double[] wanted, PatchMap patches)
    {
        var count = filled.Length;
        var (scale, next) = (new double[count], new double[count]);
        Array.Fill(scale, 1);
        for (var round = 0; round < Balances; round++)
        {
            Parallel.For(0, count, i =>
            {
                var sum = 0.0;
                for (var k = starts[i]; k < starts[i] + filled[i]; k++)
                {
                    sum += flows[k] * scale[to[k]];
                }

                sum *= scale[i];
                next[i] = sum > 0 ? scale[i] * Math.Sqrt(wanted[i] / sum) : scale[i];
            });
            (scale, next) = (next, scale);
        }

        var ends = new int[count + 1];
        for (var i = 0; i < count; i++)
        {
            ends[i + 1] = ends[i] + filled[i];
        }

        var (columns, factors) = (new int[ends[count]], new float[ends[count]]);
        for (var i = 0; i < count; i++)
        {
            var area = patches.Areas[i];
            for (var k = 0; k < filled[i]; k++)
            {
                var from = starts[i] + k;
                columns[ends[i] + k] = to[from];
                factors[ends[i] + k] = (float)(flows[from] * scale[i] * scale[to[from]] / area);
            }
        }

        return (ends, columns, factors);
    }
}
