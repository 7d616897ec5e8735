using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>Looks for what ends, and what stands in, some of a moment's beams, for <see cref="BeamStops"/>; each works by itself.</summary>
internal sealed class StopFinder(Occluders occluders)
{
    private const int Rays = 12;
    private const int MostCorners = 64;
    private readonly Growing<BeamShape> _shapes = new();
    private readonly Growing<BeamStops.Caster> _casters = new();
    private readonly Vector3[] _rays = new Vector3[Rays + Outline.MaxVertices];
    private readonly Vector4[] _sides = new Vector4[Rays + Outline.MaxVertices];
    private readonly Vector3[] _window = new Vector3[Outline.MaxVertices];
    private readonly Vector3[] _hull = new Vector3[2 * (Rays + Outline.MaxVertices)];
    private readonly Vector3[] _unfolded = new Vector3[MostCorners];
    private readonly List<int> _standing = [];
    private readonly List<(float Least, int Occluder)> _near = [];
    private readonly PyramidCut _cut = new();
    private int _edges;
    private int _windows;
    private float _cos;
    private float _sin;

    /// <summary>The beams, in their order, and the parts of lamps; casters are counted from this finder's own first.</summary>
    public ReadOnlySpan<BeamShape> Shapes => _shapes.Span;

    public ReadOnlySpan<BeamStops.Caster> Casters => _casters.Span;

    /// <summary>Looks at a run of the moment's beams.</summary>
    public void Find(Moment moment, int from, int to)
    {
        _shapes.Clear();
        _casters.Clear();
        var beams = moment.Beams.Span;
        for (var i = from; i < to; i++)
        {
            Add(moment, beams[i], i);
        }
    }

    private void Add(Moment moment, in Beam beam, int index)
    {
        if (!BeamBatch.IsAllRound(beam.Profile))
        {
            _shapes.Add(new BeamShape(index, beam, ShapeUse.All, Find(moment, beam, beam.Bounces > 0 ? moment.OutlineOf(beam.Clip) : [])));
            return;
        }

        var first = _shapes.Count;
        var shaded = false;
        if (beam.Profile.Web >= 0)
        {
            // A web that reaches sideways has no shadows.
        }
        else if (beam.Bounces == 0)
        {
            Span<Vector3> corners = stackalloc Vector3[4];
            for (var side = 0; side < 6; side++)
            {
                var part = BeamShape.Side(beam, side);
                BeamShape.Rays(part, corners);
                foreach (ref var corner in corners)
                {
                    corner += beam.Apex;
                }

                _shapes.Add(new BeamShape(index, part, ShapeUse.Part, Find(moment, part, corners)));
                shaded |= _shapes.Span[^1].Stop.Shadowed || _shapes.Span[^1].Stop.Plane != Vector4.Zero;
            }
        }
        else if (BeamShape.TryWindow(beam, moment.OutlineOf(beam.Clip), out var part))
        {
            var stop = Find(moment, part, moment.OutlineOf(beam.Clip));
            shaded = stop.Shadowed;
            _shapes.Add(new BeamShape(index, part, shaded ? ShapeUse.Part : ShapeUse.All, stop));
            if (!shaded)
            {
                return;
            }
        }

        if (!shaded)
        {
            _shapes.Truncate(first);
        }

        var plane = shaded && beam.Bounces > 0 ? _shapes.Span[^1].Stop.Plane : Vector4.Zero;
        _shapes.Add(new BeamShape(index, beam, shaded ? ShapeUse.Whole : ShapeUse.All, new BeamStops.Stop(plane, 0, 0, 0)));
    }

    /// <param name="moment">What may stand in the beam.</param>
    /// <param name="beam">A beam with a cone, or a part of one that shines all round.</param>
    /// <param name="window">Corners that the light goes through, about the axis; empty for a cone alone.</param>
    private BeamStops.Stop Find(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window)
    {
        Enter(beam, window);
        var first = _casters.Count;
        var end = Vector4.Zero;
        LastLeg(moment, beam, window, ref end);
        if (beam.Bounces > 0)
        {
            EarlierLegs(moment, beam, window);
        }

        return new BeamStops.Stop(end, first, _casters.Count - first, ClearTo(beam, _casters.Span[first..]));
    }

    /// <summary>What is asked again and again of one beam: the pyramid around it and the one through its window.</summary>
    private void Enter(in Beam beam, ReadOnlySpan<Vector3> window)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var tan = MathF.Tan(MathF.Min(beam.Profile.CutoffRadians, 1.5f)) / MathF.Cos(MathF.PI / Rays);
        for (var i = 0; i < Rays; i++)
        {
            var (sin, cos) = MathF.SinCos(2 * MathF.PI * i / Rays);
            _rays[i] = beam.Axis + (((beam.Up * cos) + (side * sin)) * tan);
        }

        for (var i = 0; i < window.Length; i++)
        {
            _rays[Rays + i] = window[i] - beam.Apex;
        }

        _edges = Rays + window.Length;
        _windows = 0;
        for (var i = 0; i < _edges; i++)
        {
            var last = i < Rays ? Rays - 1 : _edges - 1;
            var first = i < Rays ? 0 : Rays;
            var normal = Vector3.Cross(_rays[i], _rays[i == last ? first : i + 1]);
            _sides[i] = BeamBatch.PlaneThrough(normal, beam.Apex);
            var length = normal.Length();
            if (i >= Rays && length > 1e-12f)
            {
                _window[_windows++] = normal / length;
            }
        }

        (_sin, _cos) = MathF.SinCos(beam.Profile.CutoffRadians);
    }

    private ReadOnlySpan<Vector3> Ring => _rays.AsSpan(0, Rays);

    private ReadOnlySpan<Vector3> Window => _rays.AsSpan(Rays, _edges - Rays);

    /// <summary>Distance along the axis up to which nothing stands in the beam's last leg, m; 0 when an earlier leg is shaded.</summary>
    private float ClearTo(in Beam beam, ReadOnlySpan<BeamStops.Caster> casters)
    {
        if (casters.Length == 0 || casters[^1].LegsBack > 0)
        {
            return 0;
        }

        _near.Clear();
        foreach (ref readonly var caster in casters)
        {
            var least = float.PositiveInfinity;
            foreach (ref readonly var corner in occluders.CornersOf(occluders.Items[caster.Occluder]))
            {
                least = MathF.Min(least, Vector3.Dot(corner - beam.Apex, beam.Axis));
            }

            _near.Add((least, caster.Occluder));
        }

        // What begins farther than another that stands in the beam needs no cut.
        _near.Sort();
        var nearest = BeamBatch.Range;
        foreach (var (least, occluder) in _near)
        {
            if (least >= nearest)
            {
                break;
            }

            nearest = MathF.Min(nearest, _cut.Nearest(beam, occluders.CornersOf(occluders.Items[occluder]), _sides.AsSpan(0, _edges)));
        }

        return MathF.Max(0, nearest - 0.01f);
    }

    private void LastLeg(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window, ref Vector4 end)
    {
        var from = beam.Bounces > 0 ? moment.MirrorPaths.Span[beam.FirstPathMirror + beam.Bounces - 1] : -1;
        var front = beam.Bounces > 0
            ? BeamBatch.PlaneThrough(moment.Mirrors.Span[from].Normal, window[0])
            : BeamBatch.PlaneThrough(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance));
        _standing.Clear();
        var items = occluders.Items;
        for (var i = 0; i < items.Length; i++)
        {
            ref readonly var item = ref items[i];
            if (item.Mirror == from && from >= 0 || (item.Fixture >= 0 && item.Fixture == beam.Fixture))
            {
                continue;
            }

            if (Meets(beam, item.Centre, item.Radius) && !Beyond(item, -front))
            {
                _standing.Add(i);
            }
        }

        if (_standing.Count == 0)
        {
            return;
        }

        var nearest = float.MaxValue;
        foreach (var i in _standing)
        {
            foreach (ref readonly var face in occluders.FacesOf(items[i]))
            {
                var toward = Vector3.Dot(face.Normal, beam.Apex - face.Origin);
                if (toward < 0 && !face.TwoSided)
                {
                    continue;
                }

                var normal = toward < 0 ? -face.Normal : face.Normal;
                if ((Covers(face, beam.Apex, Ring) || (_edges > Rays && Covers(face, beam.Apex, Window))) && !AnyBehind(front, face, beam.Apex, Ring))
                {
                    var t = Vector3.Dot(face.Origin - beam.Apex, normal) / Vector3.Dot(beam.Axis, normal);
                    if (t > 0 && t < nearest)
                    {
                        nearest = t;
                        end = BeamBatch.PlaneThrough(normal, face.Origin);
                    }
                }
            }
        }

        Between(beam, front, end);
        foreach (var i in _standing)
        {
            if ((end == Vector4.Zero || !Beyond(items[i], -end)) && !Apart(items[i], occluders.CornersOf(items[i])))
            {
                _casters.Add(new BeamStops.Caster(i, 0));
            }
        }
    }

    /// <summary>Takes the stretch between two planes of the pyramids, for <see cref="Apart"/>.</summary>
    private void Between(in Beam beam, Vector4 near, Vector4 far)
    {
        for (var i = 0; i < _edges; i++)
        {
            var ray = _rays[i];
            _hull[2 * i] = beam.Apex + (ray * Along(near, beam.Apex, ray, 0));
            _hull[(2 * i) + 1] = beam.Apex + (ray * Along(far, beam.Apex, ray, BeamBatch.Range / ray.Length()));
        }
    }

    /// <summary>
    /// True when a plane parts the item, whose corners are given, from the stretch of the beam last given to <see cref="Between"/>: a side
    /// of the pyramid around the cone or through the window, or a side of the item's box.
    /// </summary>
    private bool Apart(in Occluders.Item item, ReadOnlySpan<Vector3> corners) =>
        ApartFrom(item, corners, 0, Rays) || (_edges > Rays && ApartFrom(item, corners, Rays, _edges));

    /// <summary>The item's corners where they seem to be behind the mirrors.</summary>
    private ReadOnlySpan<Vector3> Unfolded(in Occluders.Item item, in Matrix4x4 unfold)
    {
        var given = occluders.CornersOf(item);
        var count = Math.Min(given.Length, _unfolded.Length);
        for (var i = 0; i < count; i++)
        {
            _unfolded[i] = Vector3.Transform(given[i], unfold);
        }

        return _unfolded.AsSpan(0, count);
    }

    private bool ApartFrom(in Occluders.Item item, ReadOnlySpan<Vector3> corners, int first, int after)
    {
        for (var i = first; i < after; i++)
        {
            if (AllUnder(_sides[i], corners))
            {
                return true;
            }
        }

        var hull = _hull.AsSpan(2 * first, 2 * (after - first));
        if (item.Mirror >= 0)
        {
            return OneSide(hull, Vector3.Cross(corners[1] - corners[0], corners[2] - corners[0]), corners[0], corners[0]);
        }

        var (x, y, z) = (corners[1] - corners[0], corners[2] - corners[0], corners[4] - corners[0]);
        return OneSide(hull, Vector3.Cross(y, z), corners[0], corners[1]) || OneSide(hull, Vector3.Cross(z, x), corners[0], corners[2])
            || OneSide(hull, Vector3.Cross(x, y), corners[0], corners[4]);
    }

    private static float Along(Vector4 plane, Vector3 apex, Vector3 ray, float otherwise)
    {
        var slope = Vector3.Dot(new Vector3(plane.X, plane.Y, plane.Z), ray);
        var t = -Vector4.Dot(plane, new Vector4(apex, 1)) / slope;
        return t > 0 && float.IsFinite(t) ? t : otherwise;
    }

    /// <summary>True when all points lie before or all behind the slab between two parallel planes.</summary>
    private static bool OneSide(ReadOnlySpan<Vector3> points, Vector3 normal, Vector3 onLow, Vector3 onHigh)
    {
        var length = normal.Length();
        if (length < 1e-12f)
        {
            return false;
        }

        normal /= length;
        var (a, b) = (Vector3.Dot(normal, onLow), Vector3.Dot(normal, onHigh));
        var (low, high) = (MathF.Min(a, b), MathF.Max(a, b));
        bool under = true, over = true;
        foreach (ref readonly var p in points)
        {
            var h = Vector3.Dot(normal, p);
            under &= h <= low + 1e-3f;
            over &= h >= high - 1e-3f;
            if (!under && !over)
            {
                return false;
            }
        }

        return true;
    }

    private static bool AllUnder(Vector4 plane, ReadOnlySpan<Vector3> points)
    {
        foreach (ref readonly var p in points)
        {
            if (Vector4.Dot(plane, new Vector4(p, 1)) >= 0)
            {
                return false;
            }
        }

        return true;
    }

    private void EarlierLegs(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window)
    {
        var leg = beam;
        var unfold = Matrix4x4.Identity;
        var items = occluders.Items;
        Between(
            beam,
            BeamBatch.PlaneThrough(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance)),
            BeamBatch.PlaneThrough(Vector3.Cross(window[1] - window[0], window[2] - window[0]), window[0]));
        for (var back = 1; leg.Bounces > 0; back++)
        {
            var to = moment.MirrorPaths.Span[leg.FirstPathMirror + leg.Bounces - 1];
            var plane = BeamStops.Unfolding(moment, leg);
            unfold = Matrix4x4.CreateReflection(plane) * unfold;
            leg = moment.Beams.Span[leg.Parent];
            var from = leg.Bounces > 0 ? moment.MirrorPaths.Span[leg.FirstPathMirror + leg.Bounces - 1] : -1;
            var face = BeamBatch.PlaneThrough(plane.Normal, moment.OutlineOf(moment.Mirrors.Span[to].Outline)[0]);
            for (var i = 0; i < items.Length; i++)
            {
                ref readonly var item = ref items[i];
                if ((item.Mirror >= 0 && (item.Mirror == from || item.Mirror == to)) || (item.Fixture >= 0 && item.Fixture == beam.Fixture))
                {
                    continue;
                }

                // The quickest to tell first: most items are nowhere near.
                if (Meets(beam, Vector3.Transform(item.Centre, unfold), item.Radius) && !Beyond(item, -face) && !Apart(item, Unfolded(item, unfold)))
                {
                    _casters.Add(new BeamStops.Caster(i, back));
                }
            }
        }
    }

    /// <summary>True when a ball reaches into a cone: its angle off the axis is less than the cone's half-angle and its own together, told by their cosines.</summary>
    /// <param name="to">From the apex to the ball's middle, m.</param>
    /// <param name="axis">Unit.</param>
    /// <param name="radius">Of the ball, m.</param>
    /// <param name="cos">Of the cone's half-angle, below a right angle.</param>
    /// <param name="sin">Of the same.</param>
    internal static bool InCone(Vector3 to, Vector3 axis, float radius, float cos, float sin)
    {
        var squared = to.LengthSquared();
        return squared <= radius * radius || Vector3.Dot(to, axis) > (cos * MathF.Sqrt(squared - (radius * radius))) - (sin * radius);
    }

    /// <summary>True when a sphere may reach into the beam's cone and window.</summary>
    private bool Meets(in Beam beam, Vector3 centre, float radius)
    {
        var to = centre - beam.Apex;
        if (!InCone(to, beam.Axis, radius, _cos, _sin))
        {
            return false;
        }

        for (var i = 0; i < _windows; i++)
        {
            if (Vector3.Dot(_window[i], to) < -radius)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>True when all corners have n·X + d at least about 0: wholly on that side, touching allowed.</summary>
    private bool Beyond(in Occluders.Item item, Vector4 plane)
    {
        foreach (var corner in occluders.CornersOf(item))
        {
            if (Vector4.Dot(plane, new Vector4(corner, 1)) < -1e-3f)
            {
                return false;
            }
        }

        return true;
    }

    private static bool Covers(in Occluders.Face face, Vector3 apex, ReadOnlySpan<Vector3> rays)
    {
        foreach (var ray in rays)
        {
            if (face.Meets(apex, ray) == 0)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>True when part of the face's stop lies before the beam begins: then it is no clean end.</summary>
    private static bool AnyBehind(Vector4 front, in Occluders.Face face, Vector3 apex, ReadOnlySpan<Vector3> rays)
    {
        foreach (var ray in rays)
        {
            var t = face.Meets(apex, ray);
            if (t > 0 && Vector4.Dot(front, new Vector4(apex + (ray * t), 1)) < 0)
            {
                return true;
            }
        }

        return false;
    }
}
