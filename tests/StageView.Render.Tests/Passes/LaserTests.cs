using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Passes;

[Collection("gl")]
public sealed class LaserTests(Rendering gl)
{
    private static readonly Camera Side = new()
    {
        Name = "side",
        Position = new Vector3(0, -12, 2),
        Target = new Vector3(0, 0, 2),
        VerticalFieldRadians = Angles.Radians(30),
    };

    // Light scattered by one metre of a thin beam: σs Φ p(90°) candela; what reaches the eye per radian along the line is that / t, in clear
    // air between: ∫ L dα = σs Φ p / t for a line seen square on (single scattering, from the definition of the volume scattering function).
    [Theory]
    [InlineData(90)]
    [InlineData(180)]
    [InlineData(720)]
    public void The_line_sends_the_same_light_at_any_resolution(int height)
    {
        var haze = new Haze(1e-3f, 1, 0);
        var image = Draw(haze, height);
        var width = height * 16 / 9;
        double sum = 0;
        for (var y = 0; y < height; y++)
        {
            sum += image.Rgb[(3 * ((y * width) + (width / 2))) + 1];
        }

        var perPixel = 2 * Math.Tan(Angles.Radians(15)) / height;
        var expected = haze.ScatteringPerMetre * 50 / (4 * Math.PI) / 12 * Math.Exp(-1e-3 * (12 + 6));
        Assert.Equal(expected, sum * perPixel, expected * 0.03);
    }

    [Fact]
    public void The_spot_on_a_surface_sends_flux_times_albedo_over_pi()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor(20, 0.3f));
        b.Add(Ray(new Vector3(0, 0, 6), -Vector3.UnitZ));
        var camera = Side with { Position = new Vector3(0, -6, 6), Target = Vector3.Zero };
        var image = gl.Renderer.Render(b.Build(TimeSpan.Zero), camera, new RenderSettings { Width = 320, Height = 180, Linear = true, Screen = false }).Linear!;
        double sum = 0;
        for (var i = 0; i < 320 * 180; i++)
        {
            sum += image.Rgb[(3 * i) + 1];
        }

        // E at the eye = Φ ρ cos / (π t²), pixels near the middle hold (tan / height)² sr.
        var t2 = 72.0;
        var expected = 50 * 0.3 * (6 / Math.Sqrt(t2)) / Math.PI / t2;
        var pixel = Math.Pow(2 * Math.Tan(Angles.Radians(15)) / 180, 2);
        Assert.Equal(expected, sum * pixel, expected * 0.05);
    }

    [Fact]
    public void Something_in_front_hides_it()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0.01f, 1, 0);
        b.Add(Scenes.Box(new Vector3(0, -4, 2), new Vector3(20, 0.1f, 20)));
        b.Add(Ray(new Vector3(-6, 0, 2), Vector3.UnitX));
        var image = gl.Renderer.Render(b.Build(TimeSpan.Zero), Side, new RenderSettings { Width = 160, Height = 90, Linear = true, Screen = false }).Linear!;
        Assert.Equal(0, image.Rgb.Max(), 1e-6f);
    }

    private static LaserBeam Ray(Vector3 from, Vector3 direction) => new()
    {
        Fixture = new FixtureIndex(0),
        Origin = from,
        Direction = direction,
        PowerWatts = 0.1f,
        FluxLumens = 50,
        Colour = Vector3.One,
        ApertureMetres = 0.003f,
        DivergenceRadians = 0.001f,
    };

    private LinearImage Draw(Haze haze, int height)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = haze;
        b.Add(Ray(new Vector3(-6, 0, 2), Vector3.UnitX));
        return gl.Renderer.Render(b.Build(TimeSpan.Zero), Side,
            new RenderSettings { Width = height * 16 / 9, Height = height, Linear = true, Screen = false }).Linear!;
    }
}
