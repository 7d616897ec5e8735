using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;

namespace StageView.Light.Tests.Measure;

public sealed class ReceiverTests
{
    // A lamp 3 m up and 4 m off: d = 5 m, I = 10000/4π = 795.8 cd. By hand: horizontal I·(3/5)/25 = 19.10 lx, vertical facing it
    // I·(4/5)/25 = 25.46 lx (cosine law, IES Lighting Handbook), cylindrical I·(4/5)/(25π) = 8.106 lx (EN 12464-1: the mean of all vertical
    // planes), semicylindrical facing it twice that (EN 13201-3: (1 + cos 0)).
    [Fact]
    public void Horizontal_vertical_cylindrical_and_semicylindrical_by_hand()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(0, 4, 3)));
        var meter = Rooms.Meter(b.Build(TimeSpan.Zero));
        Rooms.Near(19.10, meter.At(Vector3.Zero, Vector3.UnitZ).Lux, 1e-3);
        Rooms.Near(25.46, meter.At(Vector3.Zero, Vector3.UnitY).Lux, 1e-3);
        Rooms.Near(8.106, meter.Cylindrical(Vector3.Zero).Lux, 1e-3);
        Rooms.Near(16.21, meter.SemiCylindrical(Vector3.Zero, Vector3.UnitY).Lux, 1e-3);
        Assert.Equal(0, meter.SemiCylindrical(Vector3.Zero, -Vector3.UnitY).Lux, 1e-3);
    }

    [Fact]
    public void Cylindrical_is_the_mean_of_vertical_planes()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Lamp(new Vector3(1, 4, 3)));
        b.Add(Rooms.Lamp(new Vector3(-2, 1, 5)));
        var meter = Rooms.Meter(b.Build(TimeSpan.Zero));
        double mean = 0;
        for (var i = 0; i < 720; i++)
        {
            var (sin, cos) = MathF.SinCos(i * MathF.Tau / 720);
            mean += meter.At(Vector3.Zero, new Vector3(cos, sin, 0)).Lux / 720;
        }

        Rooms.Near(mean, meter.Cylindrical(Vector3.Zero).Lux, 1e-4);
    }

    // A Lambertian disc of radius R at height h above the point, seen from straight below: E = π·L·R²/(R² + h²). For a
    // rectangle a × b centred over the point: E = 2L·(a'/√(h²+a'²)·atan(b'/√(h²+a'²)) + b'/√(h²+b'²)·atan(a'/√(h²+b'²)))
    // with half sides a', b' (IES Lighting Handbook, configuration factors).
    [Theory]
    [InlineData(2, 1, 3)]
    [InlineData(4, 0.1, 1)]
    [InlineData(1, 1, 0.25)]
    public void A_rectangle_of_pixels_overhead(float a, float b, float h)
    {
        var builder = Rooms.Builder();
        builder.AddSurface(new PixelSurface
        {
            Fixture = new FixtureIndex(0), Origin = new(-a / 2, -b / 2, h), EdgeU = new(a, 0, 0), EdgeV = new(0, b, 0), Columns = 7, Rows = 3, Fill = 1,
        }).Fill(new Vector3(1000));
        var m = builder.Build(TimeSpan.Zero);
        Assert.True(m.PixelSurfaces.Span[0].FrontNormal.Z < -0.999f);
        double x = a / 2, y = b / 2;
        var (p, q) = (Math.Sqrt((h * h) + (x * x)), Math.Sqrt((h * h) + (y * y)));
        var expected = 2000 * ((x / p * Math.Atan(y / p)) + (y / q * Math.Atan(x / q)));
        var e = Rooms.Meter(m).At(Vector3.Zero, Vector3.UnitZ);
        Rooms.Near(expected, e.Lux, 0.005);
        Assert.Equal(e.Lux, e.Surface);
    }

    [Fact]
    public void A_lit_pixel_counts_where_it_is()
    {
        var b = Rooms.Builder();
        var pixels = b.AddSurface(new PixelSurface
        {
            Fixture = new FixtureIndex(0), Origin = new(-2, 0, 4), EdgeU = new(4, 0, 0), EdgeV = new(0, 1, 0), Columns = 40, Rows = 10, Fill = 1,
        });
        pixels[0] = new Vector3(1000);
        var m = b.Build(TimeSpan.Zero);
        // Column 0 lies at x = -2 … -1.9, row 0 at y = 0 … 0.1: from right below it shines straight down, L·A/h².
        Rooms.Near(1000 * 0.01 / 16, Rooms.Meter(m).At(new Vector3(-1.95f, 0.05f, 0), Vector3.UnitZ).Lux, 0.005);
    }

    // Lambert's law: a globe of luminance L and radius R gives E = π·L·R²/d² on a plane that faces it.
    [Fact]
    public void A_globe_shines_all_round()
    {
        var b = Rooms.Builder();
        b.AddSurface(new PixelSurface
        {
            Fixture = new FixtureIndex(0), Shape = PixelShape.Globe, Origin = new(0, 0, 3), EdgeU = new(0.4f, 0, 0), Columns = 1, Rows = 1, Fill = 1,
        })[0] = new Vector3(500);
        var meter = Rooms.Meter(b.Build(TimeSpan.Zero));
        Rooms.Near(Math.PI * 500 * 0.04 / 9, meter.At(Vector3.Zero, Vector3.UnitZ).Lux, 1e-3);
        Rooms.Near(Math.PI * 500 * 0.04 / 4, meter.At(new Vector3(2, 0, 3), -Vector3.UnitX).Lux, 1e-3);
    }
}
