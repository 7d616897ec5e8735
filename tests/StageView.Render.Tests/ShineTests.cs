using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>What shines, in the picture: lamps' images against the lobe itself, a wall of pixels in the floor against the integral over the wall.</summary>
[Collection("gl")]
public sealed class ShineTests(Rendering gl)
{
    private static readonly RenderSettings Small = new() { Width = 160, Height = 90, Linear = true };

    private static Camera Eye() => Scenes.House(7) with { Position = new Vector3(0, -8, 2), Target = new Vector3(0, 4, 0.5f) };

    private static Moment Lit(float shine, float roughness, float albedo = 0.2f)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Scenes.Floor(albedo: albedo) with { Shine = shine, Roughness = roughness });
        b.Add(Scenes.Spot(new Vector3(0, 10, 6), new Vector3(0, 3, 0), 20000, 30, 40));
        return b.Build(TimeSpan.Zero);
    }

    private static Moment Wall(float shine, float roughness)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Scenes.Floor(albedo: 0) with { Shine = shine, Roughness = roughness });
        var wall = b.AddSurface(new PixelSurface
        {
            Origin = new Vector3(-3, 6, 4), EdgeU = new Vector3(6, 0, 0), EdgeV = new Vector3(0, 0, -3.9f), Columns = 6, Rows = 4, Fill = 1, Fixture = new(0),
        });
        wall.Fill(new Vector3(300));
        return b.Build(TimeSpan.Zero);
    }

    /// <summary>Where the ray of a pixel meets the floor.</summary>
    private static Vector3 OnFloor(int x, int y)
    {
        var (eye, ray) = (Eye().Position, Sight.Ray(Eye(), Small.Width, Small.Height, x, y));
        return eye - (ray * (eye.Z / ray.Z));
    }

    [Theory]
    [InlineData(0.04f, 0.3f, false)]
    [InlineData(0.4f, 0.1f, false)]
    [InlineData(0.4f, 0.1f, true)]
    public void A_lit_floor_shows_the_matt_light_and_the_lobe(float shine, float roughness, bool tiled)
    {
        var moment = Lit(shine, roughness);
        var frame = gl.Renderer.Render(moment, Eye(), Small with { Tiled = tiled });
        PngPicture.Write(Path.Combine(Repo.Out("shine"), $"lamp-{shine}-{roughness}.png"), frame.Screen!);
        var (meter, lamp, seen) = (new LightMeter(moment, null), moment.Beams.Span[0].Apex, 0);
        for (var y = 50; y < Small.Height; y += 3)
        {
            for (var x = 3; x < Small.Width; x += 8)
            {
                var at = OnFloor(x, y);
                var lux = meter.At(at, Vector3.UnitZ).Rgb.X;
                if (lux < 20)
                {
                    continue;
                }

                var (light, eye) = (Vector3.Normalize(lamp - at), Vector3.Normalize(Eye().Position - at));
                var matt = 0.2f / MathF.PI * (1 - GlossShares.At(light.Z, shine, roughness)) / GlossShares.Matt(shine, roughness);
                var wanted = lux * (matt + Gloss.Of(Vector3.UnitZ, light, eye, shine, roughness));
                Assert.InRange(frame.Linear![x, y].X / wanted, 0.97f, 1.03f);
                seen++;
            }
        }

        Assert.True(seen > 40, $"only {seen} lit pixels looked at");
    }

    [Theory]
    [InlineData(0.3f, 0.02f, 0.03f)]
    [InlineData(0.3f, 0.1f, 0.12f)]
    [InlineData(0.04f, 0.25f, 0.15f)]
    public void A_floor_shows_a_wall_of_pixels_as_its_facets_do(float shine, float roughness, float within)
    {
        var frame = gl.Renderer.Render(Wall(shine, roughness), Eye(), Small);
        PngPicture.Write(Path.Combine(Repo.Out("shine"), $"wall-{shine}-{roughness}.png"), frame.Screen!);
        var (seen, brightest) = (0, 0.0);
        foreach (var (x, y) in ((int, int)[])[(80, 50), (80, 56), (80, 64), (70, 60), (100, 54), (52, 58)])
        {
            var at = OnFloor(x, y);
            var eye = Vector3.Normalize(Eye().Position - at);
            double wanted = 0;
            const float step = 0.02f;
            for (var u = step / 2; u < 6; u += step)
            {
                for (var v = step / 2; v < 3.9f; v += step)
                {
                    var to = new Vector3(-3 + u, 6, 4 - v) - at;
                    var (square, light) = (to.LengthSquared(), Vector3.Normalize(to));
                    wanted += 300 * Gloss.Of(Vector3.UnitZ, light, eye, shine, roughness) * light.Z * light.Y / square * step * step;
                }
            }

            var shown = frame.Linear![x, y].X;
            TestContext.Current.TestOutputHelper?.WriteLine($"{x},{y} at {at}: {shown} beside {wanted}");
            brightest = Math.Max(brightest, wanted);
            // Beside the wall, where the image has faded to a twentieth, what a few facets miss is held against the image.
            Assert.InRange(shown - wanted, -within * Math.Max(wanted, brightest / 3), within * Math.Max(wanted, brightest / 3));
            seen += wanted > 2 ? 1 : 0;
        }

        Assert.True(seen > 2, "nothing to compare");
    }

    [Fact]
    public void Matt_floors_are_the_same_to_the_bit_beside_one_that_shone()
    {
        var plain = gl.Renderer.Render(Lit(0, 0), Eye(), Small).Screen!.Rgba.ToArray();
        Assert.NotEqual(plain, gl.Renderer.Render(Lit(0.3f, 0.1f), Eye(), Small).Screen!.Rgba);
        Assert.Equal(plain, gl.Renderer.Render(Lit(0, 0.3f), Eye(), Small).Screen!.Rgba);
    }
}
