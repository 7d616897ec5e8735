using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Render.Stops;

/// <summary>The pyramid around a beam's cone, and the one through the window that it comes out of: what is asked again and again of one beam.</summary>
internal sealed class BeamPyramid
{
    private const int Rays = 12;
    private readonly Vector3[] _rays = new Vector3[Rays + Outline.MaxVertices];
    private readonly Vector4[] _sides = new Vector4[Rays + Outline.MaxVertices];
    private readonly Vector3[] _window = new Vector3[Outline.MaxVertices];
    private readonly Vector3[] _hull = new Vector3[2 * (Rays + Outline.MaxVertices)];
    private int _edges;
    private int _windows;
    private float _cos;
    private float _sin;

    public bool HasWindow => _edges > Rays;

    /// <summary>Planes through the apex, normals inward: around the cone, then through the window.</summary>
    public ReadOnlySpan<Vector4> Sides => _sides.AsSpan(0, _edges);

    /// <summary>Takes a beam, and the corners of its window about its axis, or none.</summary>
    public void Enter(in Beam beam, ReadOnlySpan<Vector3> window)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var tan = Trig.Tan(MathF.Min(beam.Profile.CutoffRadians, 1.5f)) / Trig.Cos(MathF.PI / Rays);
        for (var i = 0; i < Rays; i++)
        {
            var (sin, cos) = Trig.SinCos(2 * MathF.PI * i / Rays);
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
            _sides[i] = HalfSpace.Through(normal, beam.Apex);
            var length = normal.Length();
            if (i >= Rays && length > 1e-12f)
            {
                _window[_windows++] = normal / length;
            }
        }

        (_sin, _cos) = Trig.SinCos(beam.Profile.CutoffRadians);
    }

    /// <summary>Rays from the apex along the pyramid around the cone.</summary>
    public ReadOnlySpan<Vector3> Ring => _rays.AsSpan(0, Rays);

    /// <summary>Rays from the apex through the window's corners.</summary>
    public ReadOnlySpan<Vector3> Window => _rays.AsSpan(Rays, _edges - Rays);

    /// <summary>
    /// True when a ball reaches into a cone: its angle off the axis is less than the cone's half-angle and its own together, told by their cosines.
    /// </summary>
    /// <param name="to">From the apex to the ball's middle, m.</param>
    /// <param name="axis">Unit.</param>
    /// <param name="radius">Of the ball, m.</param>
    /// <param name="cos">Of the cone's half-angle, below a right angle.</param>
    /// <param name="sin">Of the same.</param>
    public static bool InCone(Vector3 to, Vector3 axis, float radius, float cos, float sin)
    {
        var squared = to.LengthSquared();
        return squared <= radius * radius || Vector3.Dot(to, axis) > (cos * MathF.Sqrt(squared - (radius * radius))) - (sin * radius);
    }

    /// <summary>True when a sphere may reach into the beam's cone and window.</summary>
    public bool Meets(in Beam beam, Vector3 centre, float radius)
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

    /// <summary>Takes the stretch between two planes of the pyramids, for <see cref="Apart"/>.</summary>
    public void Between(in Beam beam, Vector4 near, Vector4 far)
    {
        for (var i = 0; i < _edges; i++)
        {
            var ray = _rays[i];
            _hull[2 * i] = beam.Apex + (ray * Along(near, beam.Apex, ray, 0));
            _hull[(2 * i) + 1] = beam.Apex + (ray * Along(far, beam.Apex, ray, BeamShape.Range / ray.Length()));
        }
    }

    /// <summary>
    /// True when a plane parts the item, whose corners are given, from the stretch of the beam last given to <see cref="Between"/>: a side
    /// of the pyramid around the cone or through the window, or a side of the item's box.
    /// </summary>
    public bool Apart(in Occluders.Item item, ReadOnlySpan<Vector3> corners) =>
        ApartFrom(item, corners, 0, Rays) || (_edges > Rays && ApartFrom(item, corners, Rays, _edges));

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
        if (!item.Mirror.IsNone)
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
}
