using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Grids;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Rays;

namespace StageView.Light.Tests.Measure;

/// <summary>
/// The meter's own numbers against POV-Ray 3.7, a general-purpose ray tracer: <c>spot-and-bounce.pov</c> beside this file holds the same scene and its command
/// line.
/// </summary>
public sealed class SpotAndBounceTests
{
    private const int Width = 320;
    private const int Height = 240;
    private const float Pixel = 0.05f;
    private const float Scale = 10_000;

    private static readonly Vector3 Corner = new(-5, -7, 0);

    /// <summary>Where the picture's two spots lie apart, columns.</summary>
    private const int Parting = 140;

    [Fact]
    public void Spot_and_bounce_land_where_and_as_bright_as_the_ray_tracer_has_them()
    {
        var theirs = PovRay();
        var m = Scene();
        var scene = OcclusionScene.From(m);
        var meter = new LightMeter(m, scene, MeterSettings.ClearAir);
        var half = new Vector3(Pixel / 2, Pixel / 2, 0);
        var grid = new MeasuringGrid(Corner + half, new((Width - 1) * Pixel, 0, 0), new(0, (Height - 1) * Pixel, 0), Width, Height, Vector3.UnitZ);
        var ours = GridMeter.Measure(meter, grid, new Quantity(QuantityKind.Plane)).Lux;
        var (direct, directTheirs) = (Spot(ours, 0, Parting), Spot(theirs, 0, Parting));
        var (bounce, bounceTheirs) = (Spot(ours, Parting, Width), Spot(theirs, Parting, Width));
        var said = $"direct: {Say(direct, directTheirs)}\nbounce: {Say(bounce, bounceTheirs)}";
        foreach (var (a, b) in new[] { (direct, directTheirs), (bounce, bounceTheirs) })
        {
            Assert.True(a.Lit.Count > 1000, said);
            Assert.True(Vector2.Distance(a.Centre, b.Centre) < 1, said);
            Assert.True(Math.Abs((a.Middle / b.Middle) - 1) < 0.02, said);
            Assert.True(Math.Abs((a.Flux / b.Flux) - 1) < 0.02, said);
            // Outlines within a pixel: each pixel that only one of them lights has a neighbour that both agree on.
            Assert.True(Overlap(a.Lit, b.Lit) > 0.95, said);
        }

        // Away from the rim, where our cone rounds off, each pixel of the direct spot is within 2 %.
        var inner = direct.Lit.Where(p => Around(p).All(direct.Lit.Contains) && Vector2.Distance(new(p.X, p.Y), direct.Centre) < 16).ToList();
        Assert.True(inner.Count > 500, said);
        Assert.All(inner, p => Assert.InRange(ours[(p.Y * Width) + p.X] / theirs[(p.Y * Width) + p.X], 0.98, 1.02));

        // Landings as `bounces` reports them: the axis' own point, to a pixel of the picture.
        var reports = BounceReports.Of(meter, scene);
        var landed = reports.Single(r => r.Mirrors.Length == 0 && r.Fixture.Value == 0).Landing!.Value;
        Assert.True(Vector3.Distance(landed.Point, new(-1.5f, -3.6f, 0)) < Pixel, $"{landed.Point}");
        var reflected = reports.Single(r => r.Mirrors.Length == 1);
        var footprint = reflected.Footprint!;
        Assert.True(Vector2.Distance(Centroid(footprint.Outline), Middle(bounceTheirs.Lit)) < 1,
            $"{Centroid(footprint.Outline)} against {Middle(bounceTheirs.Lit)}");
        Assert.InRange(footprint.Area / (bounceTheirs.Lit.Count * Pixel * Pixel), 0.96, 1.04);
        var at = new Vector2((reflected.Landing!.Value.Point.X - Corner.X) / Pixel, (reflected.Landing.Value.Point.Y - Corner.Y) / Pixel);
        Assert.True(bounceTheirs.Lit.Contains(((int)at.X, (int)at.Y)), $"{at}");
        Assert.InRange(reflected.Landing.Value.CentreLux / Near(theirs, at), 0.97, 1.03);
    }

    private static Moment Scene()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Plate(Vector3.Zero, 20));
        var turn = Angles.Radians(10);
        b.AddMirror(new Vector3(0, 6, 3), new Vector3(MathF.Sin(turn), -MathF.Cos(turn), 0), Vector3.UnitZ, 1.2f, 0.8f);
        b.Add(Even(new(-3, -3, 6), new(-1.5f, -3.6f, 0), 20, 10_000) with { Fixture = new FixtureIndex(0) });
        b.Add(Even(new(-2, 0, 5), new(0, 6, 3), 24, 200_000) with { Fixture = new FixtureIndex(1) });
        return b.Build(TimeSpan.Zero, 1);
    }

    /// <summary>A cone as even as our family of profiles gets: flat up to nine tenths of its half angle.</summary>
    private static Beam Even(Vector3 from, Vector3 to, float degrees, float candela)
    {
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(degrees), Angles.Radians(degrees * 1.02f));
        return Rooms.Spot(from, to, candela / profile.CandelaPerLumen) with { Profile = profile };
    }

    private static (HashSet<(int X, int Y)> Lit, Vector2 Centre, double Flux, double Middle) Spot(float[] lux, int from, int to)
    {
        var most = 0f;
        var values = Enumerable.Range(0, Width * Height).Where(i => i % Width >= from && i % Width < to).ToArray();
        foreach (var i in values)
        {
            most = MathF.Max(most, lux[i]);
        }

        // Photons make some pixels too bright: the level is half of the mean of what is lit.
        var mean = values.Where(i => lux[i] > 0.2f * most).Average(i => lux[i]);
        var lit = values.Where(i => lux[i] > mean / 2).Select(i => (i % Width, i / Width)).ToHashSet();
        var flux = values.Sum(i => (double)lux[i]);
        var centre = new Vector2((float)(values.Sum(i => (double)lux[i] * (i % Width)) / flux), (float)(values.Sum(i => (double)lux[i] * (i / Width)) / flux));
        var middle = values.Where(i => MathF.Abs((i % Width) - centre.X) <= 10 && MathF.Abs((i / Width) - centre.Y) <= 10).Average(i => lux[i]);
        return (lit, centre, flux, middle);
    }

    private static double Overlap(HashSet<(int X, int Y)> a, HashSet<(int X, int Y)> b) => (double)a.Count(b.Contains) / a.Union(b).Count();

    private static Vector2 Middle(HashSet<(int X, int Y)> lit) => new(lit.Average(p => p.X + 0.5f), lit.Average(p => p.Y + 0.5f));

    /// <summary>Of a polygon on the floor, pixels.</summary>
    private static Vector2 Centroid(Vector3[] outline)
    {
        var (sum, area) = (Vector2.Zero, 0f);
        for (var i = 0; i < outline.Length; i++)
        {
            var (a, b) = ((outline[i] - Corner) / Pixel, (outline[(i + 1) % outline.Length] - Corner) / Pixel);
            var cross = (a.X * b.Y) - (b.X * a.Y);
            area += cross;
            sum += new Vector2(a.X + b.X, a.Y + b.Y) * cross;
        }

        return sum / (3 * area);
    }

    private static IEnumerable<(int X, int Y)> Around((int X, int Y) p) => [(p.X - 1, p.Y), (p.X + 1, p.Y), (p.X, p.Y - 1), (p.X, p.Y + 1)];

    private static float Near(float[] lux, Vector2 at) =>
        Enumerable.Range(-3, 7).SelectMany(y => Enumerable.Range(-3, 7).Select(x => lux[(((int)at.Y + y) * Width) + (int)at.X + x])).Average();

    private static string Say((HashSet<(int X, int Y)> Lit, Vector2 Centre, double Flux, double Middle) a,
        (HashSet<(int X, int Y)> Lit, Vector2 Centre, double Flux, double Middle) b) =>
        string.Create(CultureInfo.InvariantCulture,
            $"centres {Vector2.Distance(a.Centre, b.Centre):0.00} pixels apart, middle {(a.Middle / b.Middle) - 1:P2}, flux {(a.Flux / b.Flux) - 1:P2}, "
            + $"outlines overlap {Overlap(a.Lit, b.Lit):P1} of {b.Lit.Count} pixels");

    /// <summary>Illuminance as POV-Ray renders it, rows from the bottom, lx; skips where it isn't installed.</summary>
    private static float[] PovRay() =>
        [.. PovPicture.Render(Repo.File("tests", "StageView.Light.Tests", "Measure", "spot-and-bounce.pov"), Width, Height).Select(p => p.X * Scale)];
}
