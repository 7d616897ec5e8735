using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// The convex polygons by which a beam's light enters a box. Along any ray from the apex light only gets weaker, and what is in shadow stays in shadow,
/// so the strongest point of a box lies on one of these polygons; and a beam that misses them all misses the box.
/// </summary>
/// <remarks>
/// They are the box's faces that look at the apex, cut by the lens plane, or by the last mirror's plane and the pyramid from the image apex through its
/// window; and the box's section by the lens plane, or its part of the window. Where a bare source lies within the box they are the faces of
/// a small cube about it.
/// </remarks>
internal sealed class EntryPolygons
{
    /// <summary>Nearer to a source than this, light is taken as no stronger, m: the inverse square has no end, and lenses are not points.</summary>
    public const float NearestMetres = 0.01f;

    private const int Most = 8;
    private readonly Vector3[] _points = new Vector3[Most * ConvexClip.Capacity];
    private readonly int[] _counts = new int[Most];
    private readonly Vector3[] _spare = new Vector3[ConvexClip.Capacity];

    public int Count { get; private set; }

    public ReadOnlySpan<Vector3> this[int index] => _points.AsSpan(index * ConvexClip.Capacity, _counts[index]);

    /// <summary>Finds the polygons of one beam and one volume.</summary>
    public void Set(Moment moment, in Beam beam, WatchedVolume volume)
    {
        Count = 0;
        var local = volume.Pose.InverseTransformPoint(beam.Apex);
        var half = volume.Size / 2;
        var hasLens = beam.Bounces == 0 && !beam.Profile.IsOmnidirectional && beam.StartDistance >= NearestMetres;
        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            var normal = LastMirror(moment, beam).Normal;
            AddFaces(volume, local, half, normal, -Vector3.Dot(normal, window[0]));
            AddSection(volume, half, window);
            for (var i = 0; i < Count; i++)
            {
                _counts[i] = ConvexClip.ByPyramid(_points.AsSpan(i * ConvexClip.Capacity, ConvexClip.Capacity), _counts[i], beam.Apex, window, _spare);
            }
        }
        else if (hasLens)
        {
            AddFaces(volume, local, half, beam.Axis, -Vector3.Dot(beam.Axis, beam.Apex) - beam.StartDistance);
            var reach = half.Length() + Vector3.Distance(volume.Pose.Position, beam.Apex);
            var (c, u, v) = (beam.Apex + (beam.Axis * beam.StartDistance), beam.Up * reach, beam.Right * reach);
            AddSection(volume, half, [c - u - v, c + v - u, c + u + v, c + u - v]);
        }
        else
        {
            AddFaces(volume, local, half, Vector3.Zero, 0);
            if (Vector3.Abs(local) is var a && a.X <= half.X && a.Y <= half.Y && a.Z <= half.Z)
            {
                AddCube(volume, local, half, MathF.Max(beam.StartDistance, NearestMetres) / MathF.Sqrt(3));
            }
        }
    }

    public static Mirror LastMirror(Moment moment, in Beam beam) => moment[moment.LastMirrorOf(beam)];

    private void AddFaces(WatchedVolume volume, Vector3 apex, Vector3 half, Vector3 normal, float offset)
    {
        Span<Vector3> face = stackalloc Vector3[4];
        for (var axis = 0; axis < 3; axis++)
        {
            if (MathF.Abs(apex[axis]) <= half[axis])
            {
                continue;
            }

            Face(volume.Pose, Vector3.Zero, half, axis, MathF.Sign(apex[axis]), face);
            if (normal == Vector3.Zero)
            {
                Add(face);
                continue;
            }

            var kept = ConvexClip.ByPlane(face, normal, offset, _spare);
            Add(_spare.AsSpan(0, kept));
        }
    }

    /// <summary>The part of a plane polygon that lies within the box.</summary>
    private void AddSection(WatchedVolume volume, Vector3 half, ReadOnlySpan<Vector3> polygon)
    {
        Span<Vector3> a = stackalloc Vector3[ConvexClip.Capacity];
        polygon.CopyTo(a);
        var count = polygon.Length;
        for (var axis = 0; axis < 3 && count > 0; axis++)
        {
            var n = volume.Pose.TransformDirection(Unit(axis));
            var d = Vector3.Dot(n, volume.Pose.Position);
            count = ConvexClip.ByPlane(a[..count], n, half[axis] - d, _spare);
            _spare.AsSpan(0, count).CopyTo(a);
            count = ConvexClip.ByPlane(a[..count], -n, half[axis] + d, _spare);
            _spare.AsSpan(0, count).CopyTo(a);
        }

        Add(a[..count]);
    }

    private void AddCube(WatchedVolume volume, Vector3 centre, Vector3 half, float side)
    {
        // Cut to the box where the source lies closer than that to one of its faces.
        var (low, high) = (Vector3.Max(centre - new Vector3(side), -half), Vector3.Min(centre + new Vector3(side), half));
        Span<Vector3> face = stackalloc Vector3[4];
        for (var axis = 0; axis < 3; axis++)
        {
            for (var sign = -1; sign <= 1; sign += 2)
            {
                Face(volume.Pose, (low + high) / 2, (high - low) / 2, axis, sign, face);
                Add(face);
            }
        }
    }

    private void Add(ReadOnlySpan<Vector3> polygon)
    {
        if (polygon.Length < 3)
        {
            return;
        }

        polygon.CopyTo(_points.AsSpan(Count * ConvexClip.Capacity));
        _counts[Count++] = polygon.Length;
    }

    private static void Face(in Pose pose, Vector3 centre, Vector3 half, int axis, int sign, Span<Vector3> face)
    {
        var (u, v) = (Unit((axis + 1) % 3), Unit((axis + 2) % 3));
        var (du, dv) = (u * Vector3.Dot(u, half), v * Vector3.Dot(v, half));
        var c = centre + (Unit(axis) * (sign * half[axis]));
        face[0] = pose.TransformPoint(c - du - dv);
        face[1] = pose.TransformPoint(c + du - dv);
        face[2] = pose.TransformPoint(c + du + dv);
        face[3] = pose.TransformPoint(c - du + dv);
    }

    private static Vector3 Unit(int axis) => axis switch { 0 => Vector3.UnitX, 1 => Vector3.UnitY, _ => Vector3.UnitZ };
}
