using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;
using StageView.Render.Resources;
using StageView.Render.Stops;

namespace StageView.Render.Beams;

/// <summary>
/// Convex hulls around a moment's beams: a frustum from the lens or the mirror's window to where the light ends. The same for all
/// views, so they are made once a frame.
/// </summary>
internal sealed class HullShapes
{
    /// <summary>Sides of the pyramid around a cone.</summary>
    private const int Sides = 10;

    /// <summary>Cones wider than this half-angle, rad, get a box instead of a pyramid.</summary>
    private const float Widest = 1.3f;

    private readonly Growing<Vector3> _corners = new();
    private readonly Growing<(int First, int Count, bool Box)> _hulls = new();
    private readonly Vector3[] _near = new Vector3[64];
    private readonly Vector3[] _spare = new Vector3[64];

    /// <param name="moment">Its beams.</param>
    /// <param name="batch">Their rows.</param>
    /// <param name="stops">Their shapes.</param>
    public void Fill(Moment moment, BeamBatch batch, BeamStops stops)
    {
        _corners.Clear();
        _hulls.Clear();
        foreach (ref readonly var item in batch.Items.Span)
        {
            var first = _corners.Count;
            var box = Add(moment, stops.Shapes[item.Shape], item);
            _hulls.Add((first, _corners.Count - first, box));
        }
    }

    /// <summary>Corners of an item's hull, world metres: a near and a far one in turn, or the eight of a box around it; none when it lights nothing.</summary>
    public ReadOnlySpan<Vector3> Of(int item, out bool box)
    {
        (var first, var count, box) = _hulls.Span[item];
        return _corners.Span.Slice(first, count);
    }

    /// <summary>True for a box.</summary>
    private bool Add(Moment moment, in BeamShape shape, in BeamBatch.Item item)
    {
        var beam = shape.Bound;
        int count;
        var wide = item.Omni || beam.Profile.CutoffRadians > Widest;
        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            window.CopyTo(_near);
            count = window.Length;
            if (!wide)
            {
                count = CutByCone(beam, count);
            }

            // Through the window light goes from the lens.
            beam = shape.Beam;
            for (var i = 0; item.From > 0 && i < count; i++)
            {
                var ray = _near[i] - beam.Apex;
                _near[i] = beam.Apex + (ray * (item.From / Vector3.Dot(ray, beam.Axis)));
            }

            if (shape.SoftRadius > 0)
            {
                AddSoft(moment, shape, item, count);
                return false;
            }
        }
        else if (shape.IsSide)
        {
            count = 4;
            BeamShape.Rays(beam, _near);
            for (var i = 0; i < count; i++)
            {
                // A little wide, so that no pixel falls between two sides; the planes part them.
                _near[i] = beam.Apex + (0.01f * (beam.Axis + (1.004f * (_near[i] - beam.Axis))));
            }
        }
        else if (wide)
        {
            Box(beam.Apex);
            return true;
        }
        else
        {
            count = Sides;
            Ring(beam, MathF.Max(MathF.Max(beam.StartDistance, item.From + beam.StartDistance - shape.Beam.StartDistance), 1e-3f));
        }

        for (var i = 0; count >= 3 && i < count; i++)
        {
            var ray = _near[i] - beam.Apex;
            _corners.Add(_near[i]);
            _corners.Add(beam.Apex + (ray * Reach(beam, item, ray)));
        }

        return false;
    }

    /// <summary>A reflected beam's hull with what a lens of real size throws past the window's edges: its sides go out of the window wider by r b/a.</summary>
    private void AddSoft(Moment moment, in BeamShape shape, in BeamBatch.Item item, int count)
    {
        var beam = shape.Beam;
        var mirror = moment[moment.LastMirrorOf(beam)].Normal;
        var plane = HalfSpace.Through(mirror, moment.OutlineOf(beam.Clip)[0]);
        for (var i = 0; count >= 3 && i < count; i++)
        {
            var ray = _near[i] - beam.Apex;
            var onMirror = beam.Apex + (ray * (-HalfSpace.Height(plane, beam.Apex) / Vector3.Dot(mirror, ray)));
            // Both edges at the corner move out by the same.
            var (a, b) = (Out(mirror, _near[(i + count - 1) % count], _near[i]), Out(mirror, _near[i], _near[(i + 1) % count]));
            var miter = (a + b) / MathF.Max(0.1f, 1 + Vector3.Dot(a, b));
            var spread = miter * (shape.SoftRadius / Vector3.Distance(onMirror, beam.Apex));
            var near = _near[i] + (spread * Vector3.Distance(_near[i], onMirror));
            var far = beam.Apex + (ray * Reach(beam, item, ray));
            far += spread * Vector3.Distance(far, onMirror);
            _corners.Add(near);
            _corners.Add(onMirror + ((far - onMirror) * ReachFrom(item, onMirror, far)));
        }
    }

    /// <summary>Factor, at least 1, that takes a far corner onto the plane that ends the beam.</summary>
    private static float ReachFrom(in BeamBatch.Item item, Vector3 from, Vector3 far)
    {
        var slope = Vector3.Dot(new Vector3(item.End.X, item.End.Y, item.End.Z), far - from);
        return slope < 0 ? MathF.Max(1, -HalfSpace.Height(item.End, from) / slope * 1.0005f) : 1;
    }

    private static Vector3 Out(Vector3 normal, Vector3 from, Vector3 to)
    {
        var n = Vector3.Cross(to - from, normal);
        var length = n.Length();
        return length < 1e-9f ? Vector3.Zero : n / length;
    }

    private void Box(Vector3 apex)
    {
        const float r = BeamShape.Range;
        for (var i = 0; i < 8; i++)
        {
            _corners.Add(apex + new Vector3((i & 1) == 0 ? -r : r, (i & 2) == 0 ? -r : r, (i & 4) == 0 ? -r : r));
        }
    }

    /// <summary>Factor on a ray (apex to near corner) at which it leaves the beam.</summary>
    private static float Reach(in Beam beam, in BeamBatch.Item item, Vector3 ray)
    {
        var end = item.End;
        if (end != Vector4.Zero)
        {
            var slope = Vector3.Dot(new Vector3(end.X, end.Y, end.Z), ray);
            if (slope < 0)
            {
                return MathF.Max(1, -HalfSpace.Height(end, beam.Apex) / slope) * 1.0005f;
            }
        }

        return MathF.Max(1, BeamShape.Range / ray.Length());
    }

    /// <summary>Regular polygon around the cone's section at a distance along the axis, right-hand about the axis.</summary>
    private void Ring(in Beam beam, float along)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var radius = along * Trig.Tan(beam.Profile.CutoffRadians) / Trig.Cos(MathF.PI / Sides);
        var centre = beam.Apex + (beam.Axis * along);
        for (var i = 0; i < Sides; i++)
        {
            var (sin, cos) = Trig.SinCos(2 * MathF.PI * i / Sides);
            _near[i] = centre + (radius * ((beam.Up * cos) + (side * sin)));
        }
    }

    /// <summary>Cuts the window in <see cref="_near"/> by the pyramid around the cone.</summary>
    private int CutByCone(in Beam beam, int count)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var (s, c) = Trig.SinCos(beam.Profile.CutoffRadians);
        for (var i = 0; i < Sides && count > 0; i++)
        {
            var (sin, cos) = Trig.SinCos(2 * MathF.PI * i / Sides);
            var radial = (beam.Up * cos) + (side * sin);
            count = Cut(count, HalfSpace.Through((beam.Axis * s) - (radial * c), beam.Apex));
        }

        return count;
    }

    private int Cut(int count, Vector4 plane)
    {
        var kept = 0;
        var a = _near[count - 1];
        var da = HalfSpace.Height(plane, a);
        for (var i = 0; i < count; i++)
        {
            var b = _near[i];
            var db = HalfSpace.Height(plane, b);
            if (da >= 0 != db >= 0 && kept < _spare.Length)
            {
                _spare[kept++] = a + ((b - a) * (da / (da - db)));
            }

            if (db >= 0 && kept < _spare.Length)
            {
                _spare[kept++] = b;
            }

            (a, da) = (b, db);
        }

        _spare.AsSpan(0, kept).CopyTo(_near);
        return kept < 3 ? 0 : kept;
    }
}
