using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Snapshot.Frames;

namespace StageView.Show.Snap;

/// <summary>
/// Where in a picture the light of pixel surfaces falls, on surfaces and in the haze: on a coarse grid of rays, each surface as a few points that shine by
/// Lambert's law, without shadows as the renderer draws it. A cell counts where the picture would show it if one fixture's light were missing.
/// </summary>
internal sealed class SurfaceGlow
{
    private const int Columns = 64;
    private const int Rows = 36;
    private const int PatchesAside = 3;
    private const float FarMetres = 80;

    /// <summary>Gauss-Legendre, Abramowitz and Stegun, table 25.4, n = 4.</summary>
    private static readonly (float Point, float Weight)[] Points = [(-0.86113631f, 0.34785485f), (-0.33998104f, 0.65214515f), (0.33998104f, 0.65214515f),
        (0.86113631f, 0.34785485f)];

    /// <summary>Levels of 255 from which on light is seen.</summary>
    private const float Least = 3;

    private readonly (Vector3 Point, Vector3 Normal, Vector3 Albedo)?[] _cells = new (Vector3, Vector3, Vector3)?[Columns * Rows];
    private readonly (Vector3 Direction, float Far)[] _rays = new (Vector3, float)[Columns * Rows];
    private readonly Vector3 _eye;
    private readonly Haze _haze;
    private readonly Dictionary<FixtureIndex, Vector3[]> _light = [];
    private readonly Vector3[] _all = new Vector3[Columns * Rows];
    private readonly float _white;

    /// <param name="moment">The moment.</param>
    /// <param name="scene">Its scenery.</param>
    /// <param name="camera">Whose picture.</param>
    /// <param name="ray">From x and y as shares of the picture to a direction, unit length.</param>
    public SurfaceGlow(Moment moment, OcclusionScene scene, Camera camera, Func<float, float, Vector3> ray)
    {
        // Luminance that saturates at an exposure: 1.2 · 2^EV (ISO 12232 with a calibration constant of 12.5).
        (_eye, _haze) = (camera.Position, moment.Haze);
        _white = 1.2f * MathF.Pow(2, camera.Ev100);
        var meter = new LightMeter(moment, scene, MeterSettings.Default with { PixelSurfaces = false, ThrownForward = false });
        Parallel.For(0, _cells.Length, i =>
        {
            var direction = ray(((i % Columns) + 0.5f) / Columns, ((i / Columns) + 0.5f) / Rows);
            var hits = scene.Closest(camera.Position, direction, FarMetres, FixtureIndex.None, out var hit);
            _rays[i] = (direction, hits ? Vector3.Distance(hit.Point, camera.Position) : FarMetres);
            if (hits && !hit.Instance.IsNone)
            {
                var albedo = moment[hit.Instance].Albedo;
                _cells[i] = (hit.Point, hit.Normal, albedo);
                _all[i] = meter.At(hit.Point, hit.Normal).Rgb * albedo / MathF.PI;
            }
        });
        foreach (ref readonly var surface in moment.PixelSurfaces.Span)
        {
            if (surface.Shape != PixelShape.Globe)
            {
                Add(surface, moment.Pixels.Span.Slice(surface.FirstPixel, surface.Columns * surface.Rows));
            }
        }

        foreach (var light in _light.Values)
        {
            for (var i = 0; i < light.Length; i++)
            {
                _all[i] += light[i];
            }
        }
    }

    /// <summary>Rectangles of the picture that a fixture's surfaces light.</summary>
    public IEnumerable<ScreenCover> Of(FixtureIndex fixture)
    {
        if (!_light.TryGetValue(fixture, out var light))
        {
            yield break;
        }

        // Runs of a row that repeat in the next are one rectangle.
        var open = new List<(int From, int To, int Top)>();
        for (var y = 0; y <= Rows; y++)
        {
            var runs = y == Rows ? [] : Runs(light, y);
            foreach (var (from, to, top) in open.Where(o => !runs.Contains((o.From, o.To))))
            {
                yield return Rectangle(from, top, to, y);
            }

            open = [.. runs.Select(r => open.Find(o => (o.From, o.To) == r) is { To: > 0 } known ? known : (r.From, r.To, y))];
        }
    }

    private static ScreenCover Rectangle(int x0, int y0, int x1, int y1)
    {
        double Part(int v, int of) => Math.Round((double)v / of, 3);
        var (left, top, right, bottom) = (Part(x0, Columns), Part(y0, Rows), Part(x1, Columns), Part(y1, Rows));
        return new ScreenCover([left, top, right, top, right, bottom, left, bottom], 0.001);
    }

    private List<(int From, int To)> Runs(Vector3[] light, int y)
    {
        var runs = new List<(int, int)>();
        for (var x = 0; x < Columns; x++)
        {
            if (!IsSeen(light, (y * Columns) + x))
            {
                continue;
            }

            var from = x;
            while (x < Columns && IsSeen(light, (y * Columns) + x))
            {
                x++;
            }

            runs.Add((from, x));
        }

        return runs;
    }

    private bool IsSeen(Vector3[] light, int cell)
    {
        var (with, without) = (_all[cell], _all[cell] - light[cell]);
        return Level(with.X) - Level(without.X) >= Least || Level(with.Y) - Level(without.Y) >= Least || Level(with.Z) - Level(without.Z) >= Least;
    }

    /// <summary>sRGB (IEC 61966-2-1) level of a channel, 0 to 255.</summary>
    private float Level(float luminance)
    {
        var v = Math.Clamp(luminance / _white, 0, 1);
        return 255 * (v <= 0.0031308f ? 12.92f * v : (1.055f * MathF.Pow(v, 1 / 2.4f)) - 0.055f);
    }

    private void Add(in PixelSurface surface, ReadOnlySpan<Vector3> pixels)
    {
        var mean = Vector3.Zero;
        foreach (var p in pixels)
        {
            mean += p / pixels.Length;
        }

        if (mean == Vector3.Zero)
        {
            return;
        }

        if (!_light.TryGetValue(surface.Fixture, out var light))
        {
            _light[surface.Fixture] = light = new Vector3[_cells.Length];
        }

        var whole = Vector3.Cross(surface.EdgeU, surface.EdgeV).Length() * surface.Fill * surface.Fill;
        var (middle, front) = (surface.Origin + ((surface.EdgeU + surface.EdgeV) / 2), surface.FrontNormal);
        Parallel.For(0, light.Length, i => light[i] += mean * (whole * InHaze(i, middle, front, whole)));
        var area = whole / (PatchesAside * PatchesAside);
        for (var k = 0; k < PatchesAside * PatchesAside; k++)
        {
            var from = surface.Origin + (surface.EdgeU * (((k % PatchesAside) + 0.5f) / PatchesAside))
                + (surface.EdgeV * (((k / PatchesAside) + 0.5f) / PatchesAside));
            for (var i = 0; i < _cells.Length; i++)
            {
                if (_cells[i] is { } cell)
                {
                    var to = cell.Point - from;
                    var square = MathF.Max(to.LengthSquared(), area);
                    var cosines = MathF.Max(0, Vector3.Dot(to, surface.FrontNormal)) * MathF.Max(0, -Vector3.Dot(to, cell.Normal)) / square;
                    light[i] += mean * area * cosines / square * cell.Albedo / MathF.PI;
                }
            }
        }
    }

    /// <summary>
    /// Radiance that the haze along a cell's ray scatters to the eye for one cd/m² and m² of a surface, taken as one source; the integral and its points are
    /// those of the renderer's areahaze.glsl.
    /// </summary>
    private float InHaze(int cell, Vector3 from, Vector3 front, float area)
    {
        if (_haze.ScatteringPerMetre <= 0)
        {
            return 0;
        }

        var (ray, far) = _rays[cell];
        var closest = Vector3.Dot(from - _eye, ray);
        var across = _eye + (ray * closest) - from;
        var d = MathF.Sqrt(across.LengthSquared() + (area / MathF.PI));
        var (phi0, phi1) = (Trig.Atan2(-closest, d), Trig.Atan2(far - closest, d));
        var g = _haze.Anisotropy;
        var sum = 0f;
        foreach (var (point, weight) in Points)
        {
            var u = d * Trig.Tan(((phi0 + phi1) + ((phi1 - phi0) * point)) / 2);
            var away = across + (u * ray);
            var r = MathF.Max(away.Length(), 1e-3f);
            var phase = (1 - (g * g)) / (4 * MathF.PI * MathF.Pow(1 + (g * g) + (2 * g * u / r), 1.5f));
            sum += weight * MathF.Max(0, Vector3.Dot(away, front)) / r * phase * MathF.Exp(-_haze.ExtinctionPerMetre * (MathF.Max(0, closest + u) + r));
        }

        return sum * (phi1 - phi0) / 2 / d * _haze.ScatteringPerMetre;
    }
}
