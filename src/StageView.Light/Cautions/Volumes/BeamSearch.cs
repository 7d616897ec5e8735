using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Unfolding;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// Finds where a beam is strongest within a box, to <see cref="Tolerance"/>, by branch and bound over the polygons through which it enters. Each
/// triangle of them has an upper bound (largest intensity of the directions towards it, over the square of the least distance); what is bounded below
/// the best point found, or below the least illuminance asked for, is dropped, the rest halved.
/// </summary>
/// <remarks>
/// Without obstacles nothing at or above the least illuminance is missed: the direction closest to the axis is found in closed form, so a cone that only
/// grazes is met. Light through a gap between obstacles narrower than <see cref="ShadowGrain"/> may be missed.
/// </remarks>
internal sealed class BeamSearch
{
    /// <summary>The strongest point may be stronger by this share.</summary>
    public const float Tolerance = 0.01f;

    /// <summary>Triangles smaller than this whose corners and middle all lie in shadow count as dark, m.</summary>
    public const float ShadowGrain = 0.05f;

    private const float Smallest = 1e-3f;
    private const int MostCells = 8192;

    [ThreadStatic]
    private static BeamSearch? _own;

    private readonly EntryPolygons _entry = new();
    private readonly PriorityQueue<Cell, float> _open = new();
    private LightMeter _meter = null!;
    private Beam _beam;
    private IntensityBound _bound;
    private float _height;
    private float _least;
    private float _best;
    private Vector3 _at;

    /// <summary>True when the beam's light reaches the volume with at least the illuminance asked for, or when that could not be ruled out.</summary>
    /// <param name="meter">Holds the moment and what stands in the way.</param>
    /// <param name="beam">Index in <see cref="Moment.Beams"/>.</param>
    /// <param name="volume">The box.</param>
    /// <param name="leastLux">lx; 0 asks for any light at all.</param>
    /// <param name="light">The strongest point; <see cref="VolumeLight.AtMostLux"/> above what was found and above the least tells that the search stopped
    /// early.</param>
    public static bool TryFind(LightMeter meter, int beam, WatchedVolume volume, float leastLux, out VolumeLight light)
    {
        light = default;
        ref readonly var b = ref meter.Moment.Beams.Span[beam];
        var least = MathF.Max(leastLux, 1e-6f);
        if (!BeamReach.May(meter.Moment, b, volume.Pose.Position, volume.Size.Length() / 2, least))
        {
            return false;
        }

        return (_own ??= new BeamSearch()).Search(meter, b, volume, least, out light);
    }

    private bool Search(LightMeter meter, in Beam beam, WatchedVolume volume, float least, out VolumeLight light)
    {
        (_meter, _beam, _least, _best, _at) = (meter, beam, least, 0, default);
        _bound = new IntensityBound(meter.Moment, beam);
        _entry.Set(meter.Moment, beam, volume);
        var atMost = 0f;
        for (var i = 0; i < _entry.Count; i++)
        {
            if (_entry[i].Length >= 3)
            {
                atMost = MathF.Max(atMost, SearchPolygon(_entry[i]));
            }
        }

        _meter = null!;
        light = new VolumeLight(_at, _best, MathF.Max(_best, atMost));
        return light.AtMostLux >= least;
    }

    /// <summary>The illuminance a cell must be able to exceed to be looked into.</summary>
    private float Needed => _best >= _least ? _best * (1 + Tolerance) : _least;

    /// <summary>Searches one polygon; returns what it can't have more than.</summary>
    private float SearchPolygon(ReadOnlySpan<Vector3> polygon)
    {
        var normal = Vector3.Cross(polygon[1] - polygon[0], polygon[^1] - polygon[0]);
        for (var i = 2; normal.LengthSquared() < 1e-14f && i < polygon.Length; i++)
        {
            normal = Vector3.Cross(polygon[i - 1] - polygon[0], polygon[i] - polygon[0]);
        }

        var area = normal.Length();
        if (area == 0)
        {
            return 0;
        }

        normal /= area;
        _height = MathF.Abs(Vector3.Dot(normal, polygon[0] - _beam.Apex));
        var angle = ConeMeeting.Nearest(_beam.Apex, _beam.Axis, polygon, normal, out var point);
        if (angle >= _beam.Profile.CutoffRadians && !_beam.Profile.IsOmnidirectional)
        {
            return 0;
        }

        Try(point);
        Try(ConeMeeting.Closest(_beam.Apex, polygon, normal));
        _open.Clear();
        for (var i = 1; i + 1 < polygon.Length; i++)
        {
            Open(new Cell(polygon[0], polygon[i], polygon[i + 1]));
        }

        var cells = 0;
        while (_open.TryDequeue(out var cell, out var negative))
        {
            if (-negative < Needed)
            {
                return -negative;
            }

            var lit = Try(cell.Middle);
            var size = cell.Longest(out var edge);
            if (size < Smallest)
            {
                continue;
            }

            if (lit == Finding.Shaded && (Covered(cell) || (size < ShadowGrain && Shaded(cell))))
            {
                continue;
            }

            if (++cells >= MostCells)
            {
                return -negative;
            }

            var (one, two) = cell.Halves(edge);
            Open(one);
            Open(two);
        }

        return _best >= _least ? Needed : _best;
    }

    private bool Covered(in Cell cell) => _meter.Scene is { } scene && ShadowProof.Covers(_meter.Moment, scene, _beam, [cell.A, cell.B, cell.C]);

    private bool Shaded(in Cell cell) => Try(cell.A) != Finding.Lit & Try(cell.B) != Finding.Lit & Try(cell.C) != Finding.Lit;

    private void Open(in Cell cell)
    {
        var middle = cell.Middle;
        var radius = MathF.Sqrt(MathF.Max(
            Vector3.DistanceSquared(middle, cell.A), MathF.Max(Vector3.DistanceSquared(middle, cell.B), Vector3.DistanceSquared(middle, cell.C))));
        var to = middle - _beam.Apex;
        var distance = to.Length();
        var near = MathF.Max(MathF.Max(distance - radius, _height), BeamReach.Nearest(_beam));
        var candela = radius >= distance ? _bound.Peak : _bound.Over(to / distance, Trig.Asin(radius / distance));
        // A little widened, as the bound and the value are rounded apart.
        var most = candela / (near * near) * _meter.HazeOver(MathF.Max(0, near - _beam.StartDistance)) * 1.0001f;
        if (most >= Needed)
        {
            _open.Enqueue(cell, -most);
        }
    }

    private Finding Try(Vector3 point)
    {
        var to = point - _beam.Apex;
        var distance = to.Length();
        if (distance < 1e-6f)
        {
            return Finding.Outside;
        }

        var direction = to / distance;
        var candela = BeamPhotometry.Candela(_meter.Moment, _beam, direction, distance);
        if (candela <= 0)
        {
            return Finding.Outside;
        }

        var reach = MathF.Max(distance, BeamReach.Nearest(_beam));
        var lux = candela / (reach * reach) * _meter.HazeOver(MathF.Max(0, reach - _beam.StartDistance));
        if (lux <= _best)
        {
            return IsClear(point) ? Finding.Lit : Finding.Shaded;
        }

        if (!IsClear(point))
        {
            return Finding.Shaded;
        }

        (_best, _at) = (lux, point);
        return Finding.Lit;
    }

    private bool IsClear(Vector3 point) => _meter.Scene is not { } scene || UnfoldedPath.Clear(_meter.Moment, scene, _beam, point);

    private enum Finding
    {
        /// <summary>The beam doesn't go that way.</summary>
        Outside,
        Shaded,
        Lit,
    }

    private readonly record struct Cell(Vector3 A, Vector3 B, Vector3 C)
    {
        public Vector3 Middle => (A + B + C) / 3;

        public float Longest(out int edge)
        {
            var (ab, bc, ca) = (Vector3.DistanceSquared(A, B), Vector3.DistanceSquared(B, C), Vector3.DistanceSquared(C, A));
            edge = ab >= bc && ab >= ca ? 0 : bc >= ca ? 1 : 2;
            return MathF.Sqrt(edge switch { 0 => ab, 1 => bc, _ => ca });
        }

        public (Cell One, Cell Two) Halves(int edge)
        {
            var (a, b, c) = edge switch { 0 => (A, B, C), 1 => (B, C, A), _ => (C, A, B) };
            var m = (a + b) / 2;
            return (new Cell(a, m, c), new Cell(m, b, c));
        }
    }
}
