using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// Finds where beams, pixel surfaces and globes together are strongest within a volume, by branch and bound over sub-boxes: the light of each source has
/// an upper bound over the ball about a sub-box, and a sub-box whose bounds together stay below what is asked or found is dropped.
/// </summary>
/// <remarks>
/// A source counts as shaded from a sub-box when one triangle or mirror proves it (<see cref="ShadowProof"/>), or, for sub-boxes smaller than
/// <see cref="ShadowGrain"/>, when all corners and the middle are in its shadow.
/// </remarks>
internal sealed class TotalSearch
{
    /// <summary>The strongest point may be stronger by this share.</summary>
    public const float Tolerance = 0.05f;

    /// <summary>Sub-boxes with a smaller diagonal that a source reaches at no corner and not in the middle count as shaded from it, m.</summary>
    public const float ShadowGrain = 0.5f;

    private const float Smallest = 0.02f;
    private const int MostCells = 600;

    /// <summary>Sources whose bounds come to no more than this share of the least illuminance together are counted with their bounds.</summary>
    private const float Negligible = 0.02f;

    private readonly LightMeter _meter;
    private readonly AreaSource[] _areas;
    private readonly Dictionary<int, IntensityBound> _bounds = [];
    private readonly int _beams;
    private readonly PriorityQueue<Cell, float> _open = new();
    private WatchedVolume _volume = null!;
    private float _least;
    private float _rest;
    private float _best;
    private Vector3 _at;
    private bool _met;

    public TotalSearch(LightMeter meter)
    {
        _meter = meter;
        var areas = new List<AreaSource>();
        for (var i = 0; i < meter.Sums.Length; i++)
        {
            if (meter.Sums[i] is { } sums)
            {
                areas.Add(new AreaSource(meter, i, sums));
            }
        }

        _areas = [.. areas];
        _beams = meter.Moment.Beams.Length;
    }

    /// <summary>Fixtures whose surfaces shine.</summary>
    public IEnumerable<FixtureIndex> LitFixtures => _areas.Select(a => a.Fixture).Distinct();

    /// <summary>The light of everything in the moment; false when it stays below the least everywhere.</summary>
    public bool TryFind(WatchedVolume volume, float leastLux, out TotalLight light)
    {
        var beams = _meter.Moment.Beams.Span;
        var sources = new List<int>();
        for (var i = 0; i < beams.Length; i++)
        {
            if (beams[i].Bounces == 0 || _meter.Settings.Reflected)
            {
                sources.Add(i);
            }
        }

        sources.AddRange(Enumerable.Range(beams.Length, _areas.Length));
        return Search(volume, leastLux, sources, out light);
    }

    /// <summary>The light of one fixture's pixel surfaces and globes together.</summary>
    public bool TryFindSurfaces(WatchedVolume volume, FixtureIndex fixture, float leastLux, out TotalLight light) =>
        Search(volume, leastLux, [.. Enumerable.Range(0, _areas.Length).Where(i => _areas[i].Fixture == fixture).Select(i => i + _beams)], out light);

    private float Needed => _best >= _least ? _best * (1 + Tolerance) : _least;

    private bool Search(WatchedVolume volume, float leastLux, List<int> sources, out TotalLight light)
    {
        (_volume, _least, _rest, _best, _at, _met) = (volume, MathF.Max(leastLux, 1e-3f), 0, 0, volume.Pose.Position, false);
        _open.Clear();
        light = default;
        var root = new Cell(Vector3.Zero, volume.Size / 2, []);
        var reach = sources.Select(s => (Source: s, Most: AtMost(s, root))).Where(s => s.Most > 0).OrderBy(s => s.Most).ToList();
        var skip = 0;
        while (skip < reach.Count && _rest + reach[skip].Most <= Negligible * _least)
        {
            _rest += reach[skip++].Most;
        }

        Open(root with { Sources = [.. reach.Skip(skip).Select(s => s.Source)] });
        var atMost = 0f;
        for (var cells = 0; _open.TryDequeue(out var cell, out var negative); cells++)
        {
            if (-negative < Needed || cells >= MostCells)
            {
                atMost = -negative;
                break;
            }

            Visit(cell);
        }

        if (!_met && atMost < _least)
        {
            return false;
        }

        var facing = Facing(sources, _at, out var allRound);
        light = new TotalLight(_at, allRound, facing, MathF.Max(MathF.Max(allRound, atMost), _best * (_open.Count == 0 ? 1 + Tolerance : 1)));
        return light.AtMostLux >= _least;
    }

    private void Visit(in Cell cell)
    {
        var middle = _volume.Pose.TransformPoint(cell.Middle);
        var diagonal = cell.Half.Length() * 2;
        var sum = 0f;
        var lit = new List<int>(cell.Sources.Length);
        Span<Vector3> corners = stackalloc Vector3[8];
        Corners(cell, corners);
        foreach (var source in cell.Sources)
        {
            var lux = At(source, middle, out _, out var shaded);
            sum += lux;
            if (!shaded || !IsDark(source, corners, diagonal))
            {
                lit.Add(source);
            }
        }

        if (sum > _best)
        {
            (_best, _at) = (sum, middle);
            _met = _best >= _least;
        }

        if (diagonal < Smallest || lit.Count == 0)
        {
            return;
        }

        var axis = cell.Half.X >= cell.Half.Y && cell.Half.X >= cell.Half.Z ? Vector3.UnitX : cell.Half.Y >= cell.Half.Z ? Vector3.UnitY : Vector3.UnitZ;
        var step = cell.Half * axis / 2;
        var half = cell.Half - step;
        Open(new Cell(cell.Middle - step, half, [.. lit]));
        Open(new Cell(cell.Middle + step, half, [.. lit]));
    }

    private bool IsDark(int source, ReadOnlySpan<Vector3> corners, float diagonal)
    {
        if (_meter.Scene is { } scene && IsProvenDark(scene, source, corners))
        {
            return true;
        }

        if (diagonal >= ShadowGrain)
        {
            return false;
        }

        foreach (var corner in corners)
        {
            if (At(source, corner, out _, out _) > 0)
            {
                return false;
            }
        }

        return true;
    }

    private bool IsProvenDark(OcclusionScene scene, int source, ReadOnlySpan<Vector3> corners)
    {
        if (source < _beams)
        {
            return ShadowProof.Covers(_meter.Moment, scene, _meter.Moment.Beams.Span[source], corners);
        }

        var area = _areas[source - _beams];
        Span<Vector3> of = stackalloc Vector3[8];
        return ShadowProof.CoversSource(_meter.Moment, scene, corners, of[..area.Corners(of)], area.Fixture);
    }

    private void Open(in Cell cell)
    {
        var most = _rest;
        var kept = new List<int>(cell.Sources.Length);
        foreach (var source in cell.Sources)
        {
            var own = AtMost(source, cell);
            if (own > 0)
            {
                most += own;
                kept.Add(source);
            }
        }

        if (most >= Needed && kept.Count > 0)
        {
            _open.Enqueue(cell with { Sources = [.. kept] }, -most);
        }
    }

    private float AtMost(int source, in Cell cell)
    {
        var (centre, radius) = (_volume.Pose.TransformPoint(cell.Middle), cell.Half.Length());
        if (source >= _beams)
        {
            return _areas[source - _beams].AtMost(centre, radius);
        }

        ref readonly var b = ref _meter.Moment.Beams.Span[source];
        if (!BeamReach.May(_meter.Moment, b, centre, radius, 1e-9f))
        {
            return 0;
        }

        if (!_bounds.TryGetValue(source, out var bound))
        {
            _bounds[source] = bound = new IntensityBound(_meter.Moment, b);
        }

        var to = centre - b.Apex;
        var distance = to.Length();
        var near = MathF.Max(distance - radius, BeamReach.Nearest(b));
        var candela = radius >= distance ? bound.Peak : bound.Over(to / distance, Trig.Asin(radius / distance));
        return candela / (near * near) * _meter.HazeOver(MathF.Max(0, near - b.StartDistance)) * 1.0001f;
    }

    /// <summary>Light from all round at a point from one source, lx.</summary>
    private float At(int source, Vector3 point, out Vector3 vector, out bool shaded)
    {
        shaded = false;
        if (source >= _beams)
        {
            var lux = _areas[source - _beams].At(point, _meter.Scene, out vector);
            shaded = lux == 0 && _areas[source - _beams].AtMost(point, 0) > 0;
            return lux;
        }

        ref readonly var b = ref _meter.Moment.Beams.Span[source];
        var facing = BeamPhotometry.Luminance(_meter.Facing(new BeamIndex(source), point, Vector3.Zero, out var towards));
        if (facing <= 0)
        {
            vector = Vector3.Zero;
            shaded = IsWithin(b, point);
            return 0;
        }

        var near = BeamReach.Nearest(b);
        var share = MathF.Min(1, Vector3.DistanceSquared(point, b.Apex) / (near * near));
        vector = towards * (facing * share);
        return facing * share;
    }

    /// <summary>Whether a beam would light a point if nothing stood in the way.</summary>
    private bool IsWithin(in Beam beam, Vector3 point)
    {
        var distance = Vector3.Distance(point, beam.Apex);
        var direction = (point - beam.Apex) / MathF.Max(distance, 1e-6f);
        return BeamPhotometry.Candela(_meter.Moment, beam, direction, distance) > 0 && UnfoldedPath.Reaches(_meter.Moment, beam, point, direction, distance);
    }

    /// <summary>Illuminance of the plane that faces the sum of the sources' vectors, lx; what lies behind that plane counts nothing.</summary>
    private float Facing(List<int> sources, Vector3 point, out float allRound)
    {
        allRound = 0;
        var vectors = new List<Vector3>();
        var total = Vector3.Zero;
        foreach (var source in sources)
        {
            var lux = At(source, point, out var vector, out _);
            if (lux > 0)
            {
                allRound += lux;
                total += vector;
                vectors.Add(vector);
            }
        }

        if (total == Vector3.Zero)
        {
            return 0;
        }

        var normal = Vector3.Normalize(total);
        return vectors.Sum(v => MathF.Max(0, Vector3.Dot(v, normal)));
    }

    private void Corners(in Cell cell, Span<Vector3> corners)
    {
        for (var k = 0; k < 8; k++)
        {
            corners[k] = _volume.Pose.TransformPoint(cell.Middle
                + (cell.Half * new Vector3((k & 1) == 0 ? -1 : 1, (k & 2) == 0 ? -1 : 1, (k & 4) == 0 ? -1 : 1)));
        }
    }

    /// <summary>A sub-box in the volume's own axes, and the sources that may reach it.</summary>
    private readonly record struct Cell(Vector3 Middle, Vector3 Half, int[] Sources);
}
