using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>
/// Where each beam's light ends. A flat side of scenery, or a mirror, that covers a beam's whole section ends it at a plane, without
/// a shadow map; what else stands in the beam is listed as a caster and makes it a beam with a shadow map. Earlier legs of a reflected beam are looked at
/// as unfolded: scenery mirrored behind the mirror.
/// </summary>
internal sealed class BeamStops
{
    private const int Rays = 12;
    private readonly Growing<BeamShape> _shapes = new();
    private readonly Growing<Caster> _casters = new();
    private readonly Vector3[] _rays = new Vector3[Rays + Outline.MaxVertices];
    private readonly List<int> _standing = [];
    private readonly PyramidCut _cut = new();

    public Occluders Occluders { get; } = new();

    /// <summary>All beams, in their order, and the parts of lamps.</summary>
    public ReadOnlySpan<BeamShape> Shapes => _shapes.Span;

    public ReadOnlySpan<Caster> CastersOf(in Stop stop) => _casters.Span.Slice(stop.FirstCaster, stop.Casters);

    public void Fill(Moment moment, MeshStore meshes)
    {
        _shapes.Clear();
        _casters.Clear();
        Occluders.Fill(moment, meshes);
        var beams = moment.Beams.Span;
        for (var i = 0; i < beams.Length; i++)
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
        _shapes.Add(new BeamShape(index, beam, shaded ? ShapeUse.Whole : ShapeUse.All, new Stop(plane, 0, 0, 0)));
    }

    /// <summary>The reflection that unfolds the leg before <paramref name="beam"/>'s last mirror: parent's apex to its image.</summary>
    public static Plane Unfolding(Moment moment, in Beam beam)
    {
        var parent = moment.Beams.Span[beam.Parent];
        var normal = moment.Mirrors.Span[moment.MirrorPaths.Span[beam.FirstPathMirror + beam.Bounces - 1]].Normal;
        return new Plane(normal, -Vector3.Dot(normal, (parent.Apex + beam.Apex) / 2));
    }

    /// <param name="window">Corners that the light goes through, about the axis; empty for a cone alone.</param>
    private Stop Find(Moment moment, in Beam beam, ReadOnlySpan<Vector3> window)
    {
        var first = _casters.Count;
        var end = Vector4.Zero;
        LastLeg(moment, beam, window, ref end);
        if (beam.Bounces > 0)
        {
            EarlierLegs(moment, beam);
        }

        return new Stop(end, first, _casters.Count - first, ClearTo(beam, window, _casters.Span[first..]));
    }

    /// <summary>Distance along the axis up to which nothing stands in the beam's last leg, m; 0 when an earlier leg is shaded.</summary>
    private float ClearTo(in Beam beam, ReadOnlySpan<Vector3> window, ReadOnlySpan<Caster> casters)
    {
        if (casters.Length == 0 || casters[^1].LegsBack > 0)
        {
            return 0;
        }

        var rays = MakeRays(beam, window, out var ring);
        var nearest = BeamBatch.Range;
        foreach (ref readonly var caster in casters)
        {
            nearest = MathF.Min(nearest, _cut.Nearest(beam, Occluders.CornersOf(Occluders.Items[caster.Occluder]), rays, ring));
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
        var items = Occluders.Items;
        for (var i = 0; i < items.Length; i++)
        {
            ref readonly var item = ref items[i];
            if (item.Mirror == from && from >= 0 || (item.Fixture >= 0 && item.Fixture == beam.Fixture))
            {
                continue;
            }

            if (Meets(beam, window, item.Centre, item.Radius) && !Beyond(item, -front))
            {
                _standing.Add(i);
            }
        }

        if (_standing.Count == 0)
        {
            return;
        }

        var rays = MakeRays(beam, window, out var ring);
        var nearest = float.MaxValue;
        foreach (var i in _standing)
        {
            foreach (ref readonly var face in Occluders.FacesOf(items[i]))
            {
                var toward = Vector3.Dot(face.Normal, beam.Apex - face.Origin);
                if (toward < 0 && !face.TwoSided)
                {
                    continue;
                }

                var normal = toward < 0 ? -face.Normal : face.Normal;
                if ((Covers(face, beam.Apex, rays[..ring]) || (rays.Length > ring && Covers(face, beam.Apex, rays[ring..])))
                    && !AnyBehind(front, face, beam.Apex, rays[..ring]))
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

        foreach (var i in _standing)
        {
            if ((end == Vector4.Zero || !Beyond(items[i], -end)) && !Apart(beam, items[i], Matrix4x4.Identity, rays, ring, front, end))
            {
                _casters.Add(new Caster(i, 0));
            }
        }
    }

    /// <summary>
    /// True when a plane parts the item (moved by <paramref name="unfold"/>) from the beam between two planes: a side of the pyramid around the
    /// cone or through the window, or a side of the item's box.
    /// </summary>
    private bool Apart(in Beam beam, in Occluders.Item item, in Matrix4x4 unfold, ReadOnlySpan<Vector3> rays, int ring, Vector4 near, Vector4 far)
    {
        Span<Vector3> corners = stackalloc Vector3[64];
        var given = Occluders.CornersOf(item);
        var count = Math.Min(given.Length, corners.Length);
        for (var i = 0; i < count; i++)
        {
            corners[i] = Vector3.Transform(given[i], unfold);
        }

        corners = corners[..count];
        return ApartFrom(beam, item, corners, rays[..ring], near, far) || (rays.Length > ring && ApartFrom(beam, item, corners, rays[ring..], near, far));
    }

    private static bool ApartFrom(in Beam beam, in Occluders.Item item, ReadOnlySpan<Vector3> corners, ReadOnlySpan<Vector3> rays, Vector4 near, Vector4 far)
    {
        for (var i = 0; i < rays.Length; i++)
        {
            var side = BeamBatch.PlaneThrough(Vector3.Cross(rays[i], rays[(i + 1) % rays.Length]), beam.Apex);
            var outside = true;
            foreach (var corner in corners)
            {
                outside &= Vector4.Dot(side, new Vector4(corner, 1)) < 0;
            }

            if (outside)
            {
                return true;
            }
        }

        Span<Vector3> hull = stackalloc Vector3[2 * (Rays + Outline.MaxVertices)];
        for (var i = 0; i < rays.Length; i++)
        {
            hull[2 * i] = beam.Apex + (rays[i] * Along(near, beam.Apex, rays[i], 0));
            hull[(2 * i) + 1] = beam.Apex + (rays[i] * Along(far, beam.Apex, rays[i], BeamBatch.Range / rays[i].Length()));
        }

        hull = hull[..(2 * rays.Length)];
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
        foreach (var p in points)
        {
            var h = Vector3.Dot(normal, p);
            under &= h <= low + 1e-3f;
            over &= h >= high - 1e-3f;
        }

        return under || over;
    }

    private void EarlierLegs(Moment moment, in Beam beam)
    {
        var window = moment.OutlineOf(beam.Clip);
        var leg = beam;
        var unfold = Matrix4x4.Identity;
        var items = Occluders.Items;
        var rays = MakeRays(beam, window, out var ring);
        var lens = BeamBatch.PlaneThrough(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance));
        var mirror = BeamBatch.PlaneThrough(Vector3.Cross(window[1] - window[0], window[2] - window[0]), window[0]);
        for (var back = 1; leg.Bounces > 0; back++)
        {
            var to = moment.MirrorPaths.Span[leg.FirstPathMirror + leg.Bounces - 1];
            var plane = Unfolding(moment, leg);
            unfold = Matrix4x4.CreateReflection(plane) * unfold;
            leg = moment.Beams.Span[leg.Parent];
            var from = leg.Bounces > 0 ? moment.MirrorPaths.Span[leg.FirstPathMirror + leg.Bounces - 1] : -1;
            var face = BeamBatch.PlaneThrough(plane.Normal, moment.OutlineOf(moment.Mirrors.Span[to].Outline)[0]);
            for (var i = 0; i < items.Length; i++)
            {
                ref readonly var item = ref items[i];
                if ((item.Mirror >= 0 && (item.Mirror == from || item.Mirror == to)) || (item.Fixture >= 0 && item.Fixture == beam.Fixture)
                    || Beyond(item, -face))
                {
                    continue;
                }

                if (Meets(beam, window, Vector3.Transform(item.Centre, unfold), item.Radius) && !Apart(beam, item, unfold, rays, ring, lens, mirror))
                {
                    _casters.Add(new Caster(i, back));
                }
            }
        }
    }

    /// <summary>True when a sphere may reach into the beam's cone and window.</summary>
    private static bool Meets(in Beam beam, ReadOnlySpan<Vector3> window, Vector3 centre, float radius)
    {
        var to = centre - beam.Apex;
        var distance = to.Length();
        if (distance > radius && !BeamBatch.IsAllRound(beam.Profile))
        {
            var off = MathF.Acos(Math.Clamp(Vector3.Dot(to, beam.Axis) / distance, -1, 1));
            if (off - MathF.Asin(radius / distance) >= beam.Profile.CutoffRadians)
            {
                return false;
            }
        }

        for (var i = 0; i < window.Length; i++)
        {
            var n = Vector3.Cross(window[i] - beam.Apex, window[(i + 1) % window.Length] - beam.Apex);
            var length = n.Length();
            if (length > 1e-12f && Vector3.Dot(n / length, to) < -radius)
            {
                return false;
            }
        }

        return true;
    }

    /// <summary>True when all corners have n·X + d at least about 0: wholly on that side, touching allowed.</summary>
    private bool Beyond(in Occluders.Item item, Vector4 plane)
    {
        foreach (var corner in Occluders.CornersOf(item))
        {
            if (Vector4.Dot(plane, new Vector4(corner, 1)) < -1e-3f)
            {
                return false;
            }
        }

        return true;
    }

    private Span<Vector3> MakeRays(in Beam beam, ReadOnlySpan<Vector3> window, out int ring)
    {
        ring = Rays;
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

        return _rays.AsSpan(0, Rays + window.Length);
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

    /// <param name="Plane">Half-space that the light stays in (n, d), or zero when nothing ends it.</param>
    /// <param name="ClearTo">Distance along the axis before which no shadow can lie, m.</param>
    public readonly record struct Stop(Vector4 Plane, int FirstCaster, int Casters, float ClearTo)
    {
        public bool Shadowed => Casters > 0;
    }

    /// <param name="Occluder">Index in <see cref="Occluders.Items"/>.</param>
    /// <param name="LegsBack">0 for the beam's own leg, 1 for the one before its last mirror, and so on.</param>
    public readonly record struct Caster(int Occluder, int LegsBack);
}
