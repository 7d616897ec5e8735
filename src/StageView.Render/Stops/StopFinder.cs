using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Stops;

/// <summary>Looks for what ends, and what stands in, some of a moment's beams, for <see cref="BeamStops"/>; each works by itself.</summary>
internal sealed class StopFinder(Occluders occluders)
{
    private const int MostCorners = 64;
    private readonly Growing<BeamShape> _shapes = new();
    private readonly Growing<BeamStops.Caster> _casters = new();
    private readonly Vector3[] _unfolded = new Vector3[MostCorners];
    private readonly List<int> _standing = [];
    private readonly List<(float Least, int Occluder)> _near = [];
    private readonly BeamPyramid _pyramid = new();
    private readonly PyramidCut _cut = new();

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
        if (!BeamShape.IsAllRound(beam.Profile))
        {
            _shapes.Add(new BeamShape(index, beam, ShapeUse.All, Find(moment, beam, beam.Bounces > 0 ? moment.OutlineOf(beam.Clip) : [])));
            return;
        }

        var first = _shapes.Count;
        var shaded = false;
        if (!beam.Profile.Web.IsNone)
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
        var first = _casters.Count;
        var end = Vector4.Zero;
        if (beam.Bounces > 0)
        {
            _pyramid.Enter(beam, window);
            LastLeg(moment, beam, window, ref end);
            EarlierLegs(moment, beam, window);
            return new BeamStops.Stop(end, first, _casters.Count - first, ClearTo(beam, _casters.Span[first..]));
        }

        var bound = NearField.Outer(beam);
        _pyramid.Enter(bound, window);
        LastLeg(moment, bound, window, ref end);
        var clear = ClearTo(bound, _casters.Span[first..]);
        return new BeamStops.Stop(end, first, _casters.Count - first, MathF.Max(0, clear - bound.StartDistance + beam.StartDistance));
    }

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
        var nearest = BeamShape.Range;
        foreach (var (least, occluder) in _near)
        {
            if (least >= nearest)
            {
                break;
            }

            nearest = MathF.Min(nearest, _cut.Nearest(beam, occluders.CornersOf(occluders.Items[occluder]), _pyramid.Sides));
        }

        return MathF.Max(0, nearest - 0.01f);
    }

    private void LastLeg(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window, ref Vector4 end)
    {
        var from = moment.LastMirrorOf(beam);
        var front = beam.Bounces > 0
            ? HalfSpace.Through(moment[from].Normal, window[0])
            : HalfSpace.Through(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance));
        _standing.Clear();
        var items = occluders.Items;
        for (var i = 0; i < items.Length; i++)
        {
            ref readonly var item = ref items[i];
            if ((item.Mirror == from && !from.IsNone) || (item.Fixture == beam.Fixture && !item.Fixture.IsNone))
            {
                continue;
            }

            if (_pyramid.Meets(beam, item.Centre, item.Radius) && !Beyond(item, -front))
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
                if ((Covers(face, beam.Apex, _pyramid.Ring) || (_pyramid.HasWindow && Covers(face, beam.Apex, _pyramid.Window)))
                    && !AnyBehind(front, face, beam.Apex, _pyramid.Ring))
                {
                    var t = Vector3.Dot(face.Origin - beam.Apex, normal) / Vector3.Dot(beam.Axis, normal);
                    if (t > 0 && t < nearest)
                    {
                        nearest = t;
                        end = HalfSpace.Through(normal, face.Origin);
                    }
                }
            }
        }

        _pyramid.Between(beam, front, end);
        foreach (var i in _standing)
        {
            if ((end == Vector4.Zero || !Beyond(items[i], -end)) && !_pyramid.Apart(items[i], occluders.CornersOf(items[i])))
            {
                _casters.Add(new BeamStops.Caster(i, 0));
            }
        }
    }

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

    private void EarlierLegs(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window)
    {
        var leg = beam;
        var unfold = Matrix4x4.Identity;
        var items = occluders.Items;
        _pyramid.Between(
            beam,
            HalfSpace.Through(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance)),
            HalfSpace.Through(Vector3.Cross(window[1] - window[0], window[2] - window[0]), window[0]));
        for (var back = 1; leg.Bounces > 0; back++)
        {
            var to = moment.LastMirrorOf(leg);
            var plane = BeamStops.Unfolding(moment, leg);
            unfold = Matrix4x4.CreateReflection(plane) * unfold;
            leg = moment[leg.Parent];
            var from = moment.LastMirrorOf(leg);
            var face = HalfSpace.Through(plane.Normal, moment.OutlineOf(moment[to].Outline)[0]);
            for (var i = 0; i < items.Length; i++)
            {
                ref readonly var item = ref items[i];
                if ((!item.Mirror.IsNone && (item.Mirror == from || item.Mirror == to)) || (item.Fixture == beam.Fixture && !item.Fixture.IsNone))
                {
                    continue;
                }

                // The quickest to tell first: most items are nowhere near.
                if (_pyramid.Meets(beam, Vector3.Transform(item.Centre, unfold), item.Radius) && !Beyond(item, -face)
                    && !_pyramid.Apart(item, Unfolded(item, unfold)))
                {
                    _casters.Add(new BeamStops.Caster(i, back));
                }
            }
        }
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
