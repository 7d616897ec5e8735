using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Cautions.Volumes;

public sealed class TotalSearchTests
{
    private static readonly WatchedVolume Stalls = new("stalls", false, Pose.At(0, -8, 1), new Vector3(10, 6, 2));

    /// <summary>A wall of light in the plane y = 0 that faces -y, its middle at x, z.</summary>
    private static void AddWall(MomentBuilder b, float x, float z, float width, float height, float luminance, int columns = 8, int rows = 4, int fixture = 1)
    {
        var pixels = b.AddSurface(new PixelSurface
        {
            Fixture = new(fixture), Shape = PixelShape.Flat, Columns = columns, Rows = rows, Fill = 1,
            Origin = new Vector3(x - (width / 2), 0, z + (height / 2)), EdgeU = new Vector3(width, 0, 0), EdgeV = new Vector3(0, 0, -height),
        });
        pixels.Fill(new Vector3(luminance));
    }

    // Opposite the middle of a Lambertian rectangle 2a × 2b at distance c a plane parallel to it gets 2L·(X/√(1+X²)·atan(Y/√(1+X²)) +
    // Y/√(1+Y²)·atan(X/√(1+Y²))),
    // X = a/c, Y = b/c (four times the form factor of an element opposite a corner: J. R. Howell, A Catalog of Radiation Heat Transfer Configuration
    // Factors, B-3, from memory), and the rectangle spans 4·atan(ab / (c·√(a²+b²+c²))) sr.
    [Fact]
    public void A_wall_over_the_house_is_strongest_at_the_nearest_face()
    {
        var b = Rooms.Builder();
        AddWall(b, 0, 1, 8, 4, 800);
        var search = new TotalSearch(Rooms.Meter(b.Build(TimeSpan.Zero)));
        Assert.Equal([new FixtureIndex(1)], search.LitFixtures);
        Assert.True(search.TryFindSurfaces(Stalls, new(1), 100, out var light));
        var (x, y) = (4.0 / 5, 2.0 / 5);
        var plane = 2 * 800 * ((x / Math.Sqrt(1 + (x * x)) * Math.Atan(y / Math.Sqrt(1 + (x * x))))
            + (y / Math.Sqrt(1 + (y * y)) * Math.Atan(x / Math.Sqrt(1 + (y * y)))));
        var allRound = 800 * 4 * Math.Atan(8 / (5 * Math.Sqrt(16 + 4 + 25)));
        Rooms.Near(allRound, light.AllRoundLux, TotalSearch.Tolerance + 0.01);
        Rooms.Near(plane, light.FacingLux, TotalSearch.Tolerance + 0.01);
        Assert.True(light.Point.Y > -5.6f && light.AtMostLux >= allRound * 0.99, $"{light}");
        Assert.False(search.TryFindSurfaces(Stalls, new(1), (float)(allRound * 1.06), out _));
        // Turned away, or dark, it lights nobody.
        Assert.False(search.TryFindSurfaces(new WatchedVolume("behind", false, Pose.At(0, 8, 1), Vector3.One), new(1), 0.1f, out _));
    }

    // A ball of luminance L gives L·π·R²/d² (Lambert); nearest the ball the box's corner is 2 m away.
    [Fact]
    public void A_globe_is_strongest_at_the_nearest_point_of_the_box()
    {
        var b = Rooms.Builder();
        b.AddSurface(new PixelSurface
        {
            Fixture = new(3), Shape = PixelShape.Globe, Columns = 1, Rows = 1, Fill = 1, Origin = new Vector3(0, -8, 4),
            EdgeU = new Vector3(0.6f, 0, 0), EdgeV = Vector3.UnitZ
        })[0] = new Vector3(5000);
        var search = new TotalSearch(Rooms.Meter(b.Build(TimeSpan.Zero)));
        Assert.True(search.TryFind(Stalls, 100, out var light));
        Rooms.Near(5000 * Math.PI * 0.09 / 4, light.FacingLux, 0.06);
        Assert.True(Vector3.Distance(light.Point, new Vector3(0, -8, 2)) < 0.4f, $"{light.Point}");
    }

    [Fact]
    public void Many_small_ones_add_up()
    {
        var b = Rooms.Builder();
        for (var i = 0; i < 12; i++)
        {
            b.Add(Rooms.Spot(new Vector3(i - 6, -8, 9), new Vector3(0, -8, 2), 4000, 14, 20) with { Fixture = new(i) });
        }

        AddWall(b, 0, 2, 6, 2, 300, fixture: 20);
        var m = b.Build(TimeSpan.Zero);
        var meter = Rooms.Meter(m);
        var search = new TotalSearch(meter);
        Assert.True(search.TryFind(Stalls, 500, out var light));
        // All twelve axes meet at (0, -8, 2), where no more than the beams' sum and the wall's share arrive.
        var at = Enumerable.Range(0, 12).Sum(i => meter.FromBeamFacing(new(i), new Vector3(0, -8, 1.999f)));
        Assert.InRange(light.AllRoundLux, at * 0.95f, at * 1.2f);
        Assert.Equal(0, light.Point.X, 0.4f);
        Assert.All(Enumerable.Range(0, 12), i => Assert.False(BeamSearch.TryFind(meter, i, Stalls, light.AllRoundLux / 2, out _)));
        // The plane gets less than what comes from all round, and at least half of it: all of it comes from above.
        Assert.InRange(light.FacingLux, light.AllRoundLux / 2, light.AllRoundLux);
    }

    [Fact]
    public void Behind_a_wall_there_is_nothing()
    {
        var b = Rooms.Builder();
        AddWall(b, 0, 1, 8, 4, 800);
        b.Add(Rooms.Spot(new Vector3(0, 0, 3), new Vector3(0, -8, 1), 50_000));
        b.Add(Rooms.Plate(new Vector3(0, -3, 0), 30, new Vector3(90, 0, 0)));
        Assert.False(new TotalSearch(Rooms.Meter(b.Build(TimeSpan.Zero))).TryFind(Stalls, 1, out var light), $"{light}");
    }

    [Fact]
    public void What_random_samples_find_is_never_above_the_bound()
    {
        var random = new Random(77);
        var found = 0;
        for (var k = 0; k < 60; k++)
        {
            var b = Rooms.Builder();
            Vector3 Any(float half) => new((random.NextSingle() - 0.5f) * 2 * half, (random.NextSingle() - 0.5f) * 2 * half,
                (random.NextSingle() - 0.5f) * 2 * half);
            var volume = new WatchedVolume("v", false, Pose.FromDegrees(Any(4), Any(180)),
                new Vector3(1 + (8 * random.NextSingle()), 1 + (3 * random.NextSingle()), 1 + random.NextSingle()));
            for (var i = random.Next(5); i >= 0; i--)
            {
                b.Add(Rooms.Spot(Any(9), Any(4), 5000 * random.NextSingle(), 3 + (20 * random.NextSingle()), 8 + (40 * random.NextSingle())));
            }

            var u = Vector3.Normalize(Any(1));
            var v = Vector3.Normalize(Vector3.Cross(u, Any(1)));
            var pixels = b.AddSurface(new PixelSurface { Fixture = new(9), Columns = 5, Rows = 3, Fill = 0.9f, Origin = Any(6), EdgeU = u * 3, EdgeV = v * 2 });
            foreach (ref var pixel in pixels)
            {
                pixel = new Vector3(random.NextSingle() * 900);
            }

            if (k % 2 == 0)
            {
                b.Add(Rooms.Plate(Any(4), 1.5f, Any(180)));
            }

            var meter = Rooms.Meter(b.Build(TimeSpan.Zero));
            var any = new TotalSearch(meter).TryFind(volume, 50, out var light);
            found += any ? 1 : 0;
            for (var i = 0; i < 300; i++)
            {
                var p = volume.Pose.TransformPoint(Any(0.5f) * volume.Size);
                // Mean spherical illuminance is a quarter of ∫ L dω; a plane's illuminance is never above ∫ L dω.
                var plane = meter.At(p, Vector3.Normalize(Any(1))).Lux;
                Assert.True(any ? plane <= light.AtMostLux * 1.01f : plane < 50 * 1.01f, $"case {k}: {plane} lx at {p}, said {any} {light}");
            }
        }

        Assert.InRange(found, 20, 59);
    }
}
