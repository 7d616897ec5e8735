using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Snapshot.Frames;

namespace StageView.Show.Snap;

/// <summary>
/// Projects what each fixture lights into a picture: the cone of each beam to where it lands, pixel surfaces and what they light, laser rays.
/// </summary>
internal sealed class BeamCovers
{
    private const float FarMetres = 60;
    private const int Ring = 10;

    /// <summary>Most outlines kept of one fixture, brightest first: prisms and mirrors make dozens.</summary>
    private const int MostOutlines = 8;

    /// <summary>Smallest piece that is kept, as a share of the picture, and how many at most.</summary>
    private const double LeastPiece = 2e-4;

    private const int MostPieces = 300;
    private static readonly ConditionalWeakTable<SceneMesh, object> s_bounds = [];
    private readonly Vector3 _eye, _right, _up, _forward;
    private readonly Dictionary<FixtureIndex, List<ScreenCover>> _covers = [];
    private readonly SurfaceGlow _glow;

    public BeamCovers(Moment moment, Camera camera, int width, int height)
    {
        _eye = camera.Position;
        _forward = Vector3.Normalize(camera.Target - camera.Position);
        var right = Vector3.Cross(_forward, camera.Up);
        right = right.LengthSquared() < 1e-8f ? Vector3.UnitX : Vector3.Normalize(right);
        var tan = Trig.Tan(camera.VerticalFieldRadians / 2);
        (_up, _right) = (Vector3.Cross(right, _forward) / tan, right / (tan * width / height));
        var scene = OcclusionScene.From(moment);
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            var over = moment.LastMirrorOf(beam);
            Add(beam.Fixture, Cone(moment, scene, beam), beam.FluxLumens * beam.Throughput, over.IsNone ? null : moment.MirrorNames[moment[over].Name.Value]);
        }

        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            var pixels = moment.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows);
            if (pixels.IndexOfAnyExcept(Vector3.Zero) >= 0)
            {
                Add(s.Fixture, Face(s), 1000);
            }
        }

        foreach (ref readonly var laser in moment.Lasers.Span)
        {
            Add(laser.Fixture, Thread(laser), laser.FluxLumens);
        }

        _glow = new SurfaceGlow(moment, scene, camera, (x, y) => Vector3.Normalize(
            _forward + (right * ((2 * x) - 1) * (tan * width / height)) + (Vector3.Cross(right, _forward) * (1 - (2 * y)) * tan)));
    }

    /// <summary>Outlines of one fixture, brightest first.</summary>
    public IReadOnlyList<ScreenCover> Of(FixtureIndex fixture) =>
        _covers.TryGetValue(fixture, out var list) ? [.. list.OrderByDescending(c => c.Light).Take(MostOutlines), .. _glow.Of(fixture)] : [];

    private static List<Vector3> Cone(Moment moment, OcclusionScene scene, in Beam beam)
    {
        var points = new List<Vector3>();
        if (beam.Profile.IsOmnidirectional)
        {
            for (var i = 0; i < 14; i++)
            {
                // A sphere of a metre and a half: where a globe's glow is seen.
                var (sin, cos) = Trig.SinCos(i * 2.4f);
                var z = 1 - (2 * (i + 0.5f) / 14);
                points.Add(beam.Apex + (1.5f * new Vector3(cos * MathF.Sqrt(1 - (z * z)), sin * MathF.Sqrt(1 - (z * z)), z)));
            }

            return points;
        }

        var mirror = moment.LastMirrorOf(beam);
        var start = beam.StartDistance;
        if (!mirror.IsNone)
        {
            foreach (var p in moment.OutlineOf(beam.Clip))
            {
                points.Add(p);
            }

            var n = moment[mirror].Normal;
            var facing = Vector3.Dot(beam.Axis, n);
            start = MathF.Abs(facing) < 1e-4f ? start : MathF.Max(start, Vector3.Dot(points[0] - beam.Apex, n) / facing);
        }

        var from = beam.Apex + (beam.Axis * start);
        var end = start + (scene.Closest(from, beam.Axis, FarMetres, beam.Fixture, mirror, out var hit) ? hit.Distance : FarMetres);
        var right = beam.Right;
        var spread = Trig.Tan(MathF.Min(beam.Profile.HalfFieldRadians, 1.3f));
        for (var step = 0; step <= 4; step++)
        {
            var d = start + ((end - start) * step / 4);
            var radius = MathF.Max(beam.ApertureRadius, NearField.Seeming(beam, d) * spread);
            for (var k = 0; k < Ring; k++)
            {
                var (sin, cos) = Trig.SinCos(k * MathF.Tau / Ring);
                points.Add(beam.Apex + (beam.Axis * d) + (((right * cos) + (beam.Up * sin)) * radius));
            }
        }

        return points;
    }

    private static List<Vector3> Face(in PixelSurface s)
    {
        if (s.Shape == PixelShape.Globe)
        {
            var (u, v) = (s.EdgeU / 2, s.EdgeV / 2);
            return [s.Origin + u, s.Origin - u, s.Origin + v, s.Origin - v, s.Origin + Vector3.Cross(u, v) / u.Length(),
                s.Origin - Vector3.Cross(u, v) / u.Length()];
        }

        return [s.Origin, s.Origin + s.EdgeU, s.Origin + s.EdgeU + s.EdgeV, s.Origin + s.EdgeV];
    }

    private static List<Vector3> Thread(in LaserBeam laser)
    {
        var side = Vector3.Normalize(Vector3.Cross(laser.Direction, MathF.Abs(laser.Direction.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ)) * 0.05f;
        var other = Vector3.Cross(side, laser.Direction);
        var points = new List<Vector3>();
        for (var step = 0; step <= 4; step++)
        {
            var p = laser.Origin + (laser.Direction * (MathF.Min(laser.Length, FarMetres) * step / 4));
            points.AddRange([p + side, p - side, p + other, p - other]);
        }

        return points;
    }

    /// <summary>Scenery and mirrors that are seen, the largest first.</summary>
    /// <param name="moment">The same moment.</param>
    public IReadOnlyList<PieceRecord> Pieces(Moment moment)
    {
        var pieces = new Dictionary<string, List<double[]>>(StringComparer.Ordinal);
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            if (!piece.Name.IsNone && piece.Name.Value < moment.SceneryNames.Count)
            {
                var (least, most) = ((Vector3, Vector3))s_bounds.GetValue(moment.Meshes[piece.Mesh.Value], m => Bounds(m));
                var (pose, scale) = (piece.Pose, piece.Scale);
                Keep(moment.SceneryNames[piece.Name.Value], Enumerable.Range(0, 8).Select(i => pose.TransformPoint(scale * new Vector3(
                    (i & 1) == 0 ? least.X : most.X, (i & 2) == 0 ? least.Y : most.Y, (i & 4) == 0 ? least.Z : most.Z))));
            }
        }

        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            Keep(moment.MirrorNames[mirror.Name.Value], moment.OutlineOf(mirror.Outline).ToArray());
        }

        return [.. pieces.Select(p => (p.Key, p.Value, Area: p.Value.Sum(Area))).Where(p => p.Area >= LeastPiece).OrderByDescending(p => p.Area)
            .ThenBy(p => p.Key, StringComparer.Ordinal).Take(MostPieces).Select(p => new PieceRecord(p.Key, [.. p.Value.Select(o => new ScreenCover(o))]))];

        void Keep(string name, IEnumerable<Vector3> corners)
        {
            if (Outline(corners) is { Length: > 0 } outline)
            {
                (pieces.TryGetValue(name, out var list) ? list : pieces[name] = []).Add(outline);
            }
        }
    }

    private static (Vector3 Least, Vector3 Most) Bounds(SceneMesh mesh)
    {
        var (least, most) = (new Vector3(float.PositiveInfinity), new Vector3(float.NegativeInfinity));
        foreach (var p in mesh.Positions)
        {
            (least, most) = (Vector3.Min(least, p), Vector3.Max(most, p));
        }

        return (least, most);
    }

    /// <summary>Of a polygon, as a share of the picture.</summary>
    private static double Area(double[] outline)
    {
        var sum = 0.0;
        for (int i = 0, j = outline.Length - 2; i + 1 < outline.Length; j = i, i += 2)
        {
            sum += (outline[j] * outline[i + 1]) - (outline[i] * outline[j + 1]);
        }

        return Math.Abs(sum) / 2;
    }

    private void Add(FixtureIndex fixture, List<Vector3> points, float light, string? over = null)
    {
        if (Outline(points) is not { Length: > 0 } outline)
        {
            return;
        }

        if (!_covers.TryGetValue(fixture, out var list))
        {
            _covers[fixture] = list = [];
        }

        list.Add(new ScreenCover(outline, Math.Round(Math.Max(light, 0.001), 3)) { Over = over });
    }

    /// <summary>The hull of what the camera sees of some points, x and y in turn; empty when nothing.</summary>
    private double[] Outline(IEnumerable<Vector3> points)
    {
        var seen = new List<Vector2>();
        foreach (var p in points)
        {
            var d = p - _eye;
            var w = Vector3.Dot(d, _forward);
            if (w > 0.05f)
            {
                seen.Add(new Vector2(0.5f + (Vector3.Dot(d, _right) / (2 * w)), 0.5f - (Vector3.Dot(d, _up) / (2 * w))));
            }
        }

        return [.. ScreenHull.Of(seen).SelectMany(p => new[] { Math.Round(p.X, 3), Math.Round(p.Y, 3) })];
    }
}
