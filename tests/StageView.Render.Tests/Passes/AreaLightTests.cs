using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Passes;

[Collection("gl")]
public sealed class AreaLightTests(Rendering gl, ITestOutputHelper output)
{
    [Fact]
    public void A_wall_and_a_globe_light_the_floor_as_Light_says()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor());
        var wall = b.AddSurface(new PixelSurface
        {
            Origin = new Vector3(-3, 6, 3), EdgeU = new Vector3(4, 0, 0), EdgeV = new Vector3(0, 0, -2), Columns = 40, Rows = 20, Fill = 0.7f,
            Fixture = new FixtureIndex(1),
        });
        for (var i = 0; i < wall.Length; i++)
        {
            wall[i] = i % 40 < 20 ? new Vector3(900, 100, 100) : new Vector3(50, 100, 900);
        }

        var globe = b.AddSurface(new PixelSurface
        {
            Shape = PixelShape.Globe,
            Origin = new Vector3(4, 3, 2),
            EdgeU = new Vector3(0.5f, 0, 0),
            Columns = 1,
            Rows = 1,
            Fill = 1,
            Fixture = new FixtureIndex(2),
        });
        globe[0] = new Vector3(2000, 1500, 700);
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House(3);
        var frame = gl.Renderer.Render(moment, camera, new RenderSettings { Width = 1280, Height = 720, Linear = true });
        PngPicture.Write(Path.Combine(Repo.Out("sources"), "arealight.png"), frame.Screen!);
        var meter = new LightMeter(moment, null);
        var errors = new List<float>();
        foreach (var p in new Vector3[] { new(-2, 3, 0), new(-1, 4, 0), new(0, 2, 0), new(1, 0, 0), new(4, 2, 0), new(5, 3, 0), new(3, 4, 0), new(-3, 0, 0) })
        {
            var at = Sight.Pixel(camera, 1280, 720, p);
            var ray = Sight.Ray(camera, 1280, 720, (int)at.X, (int)at.Y);
            var seen = camera.Position + (ray * (-camera.Position.Z / ray.Z));
            var expected = BeamPhotometry.Luminance(meter.At(seen, Vector3.UnitZ).Rgb) * 0.3f / MathF.PI;
            var got = frame.Linear!.LuminanceAt((int)at.X, (int)at.Y);
            output.WriteLine($"{p}: {got} and {expected} cd/m²");
            errors.Add(MathF.Abs((got / expected) - 1));
        }

        Assert.All(errors, e => Assert.True(e < 0.03f, $"off by {e:P1}"));
    }

    // One wall of 18 x 9 m, whole, of 18 panels, of 648: what the floor gets is the same.
    [Theory]
    [InlineData(1, 1)]
    [InlineData(6, 3)]
    [InlineData(36, 18)]
    public void A_wall_lights_the_floor_as_the_meter_says_of_however_many_panels_it_is_built(int across, int down)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor());
        var (columns, rows) = (72 / across, 36 / down);
        for (var p = 0; p < across * down; p++)
        {
            var (x, z) = (p % across * 18f / across, p / across * 9f / down);
            b.AddSurface(new PixelSurface
            {
                Origin = new Vector3(x - 9, 10, 10 - z), EdgeU = new Vector3(18f / across, 0, 0), EdgeV = new Vector3(0, 0, -9f / down),
                Columns = columns, Rows = rows, Fill = 1, Fixture = new FixtureIndex(p),
            }).Fill(new Vector3(1500, 1200, 900));
        }

        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House(3);
        var frame = gl.Renderer.Render(moment, camera, new RenderSettings { Width = 640, Height = 360, Linear = true });
        PngPicture.Write(Path.Combine(Repo.Out("sources"), $"wall-of-{across * down}.png"), frame.Screen!);
        var meter = new LightMeter(moment, null);
        Assert.All([new(0, 0, 0), new(-3, 3, 0), new(4, 4, 0), new(0, -4, 0), new(-2, 6, 0)], (Vector3 p) =>
        {
            var at = Sight.Pixel(camera, 640, 360, p);
            var ray = Sight.Ray(camera, 640, 360, (int)at.X, (int)at.Y);
            var seen = camera.Position + (ray * (-camera.Position.Z / ray.Z));
            var expected = BeamPhotometry.Luminance(meter.At(seen, Vector3.UnitZ).Rgb) * 0.3f / MathF.PI;
            var got = frame.Linear!.LuminanceAt((int)at.X, (int)at.Y);
            output.WriteLine($"{p}: {got} and {expected} cd/m²");
            Assert.Equal(1, got / expected, 0.02f);
        });
        Assert.Empty(frame.LeftOut);
    }

    // Each pixel a Lambertian element by itself, every 2 cm of the ray: the double sum that the blocks stand for.
    [Fact]
    public void A_wall_and_a_globe_light_the_haze_as_their_pixels_summed_up_do()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0.03f, 0.9f, 0.5f);
        const int columns = 32, rows = 16;
        var surface = new PixelSurface
        {
            Origin = new Vector3(-3, 6, 5),
            EdgeU = new Vector3(4, 0, 0),
            EdgeV = new Vector3(0, 0, -2),
            Columns = columns,
            Rows = rows,
            Fill = 0.7f,
            Fixture = new FixtureIndex(1),
        };
        var wall = b.AddSurface(surface);
        for (var i = 0; i < wall.Length; i++)
        {
            wall[i] = i % columns < columns / 2 ? new Vector3(900, 100, 100) : new Vector3(50, 100, 900);
        }

        var pixels = wall.ToArray();
        var globe = b.AddSurface(new PixelSurface
        {
            Shape = PixelShape.Globe,
            Origin = new Vector3(4, 3, 5),
            EdgeU = new Vector3(0.5f, 0, 0),
            Columns = 1,
            Rows = 1,
            Fill = 1,
            Fixture = new FixtureIndex(2),
        });
        globe[0] = new Vector3(2000, 1500, 700);
        var globeLight = globe[0];
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House(1);
        var frame = gl.Renderer.Render(moment, camera, new RenderSettings { Width = 640, Height = 360, Linear = true });
        PngPicture.Write(Path.Combine(Repo.Out("sources"), "areahaze.png"), frame.Screen!);
        var haze = moment.Haze;
        var area = Vector3.Cross(surface.EdgeU, surface.EdgeV).Length() * surface.Fill * surface.Fill / (columns * rows);
        var random = new Random(8);
        var errors = new List<double>();
        while (errors.Count < 60)
        {
            var (x, y) = (random.Next(640), random.Next(360));
            var d = Sight.Ray(camera, 640, 360, x, y);
            var onWall = camera.Position + (d * ((6 - camera.Position.Y) / d.Y));
            if ((MathF.Abs(onWall.X + 1) < 2.1f && MathF.Abs(onWall.Z - 4) < 1.1f) || Vector3.Cross(d, new Vector3(4, 3, 5) - camera.Position).Length() < 0.35f)
            {
                continue;
            }

            var sum = 0d;
            for (var t = 0.01f; t < 60; t += 0.02f)
            {
                var p = camera.Position + (d * t);
                Scatter(p, new Vector3(4, 3, 5), MathF.PI * 0.25f * 0.25f, globeLight, 0.25f);
                if (p.Y < 6)
                {
                    for (var i = 0; i < pixels.Length; i++)
                    {
                        var q = surface.Origin + (surface.EdgeU * (((i % columns) + 0.5f) / columns)) + (surface.EdgeV * (((i / columns) + 0.5f) / rows));
                        Scatter(p, q, area * (6 - p.Y) / Vector3.Distance(p, q), pixels[i], 0);
                    }
                }

                void Scatter(Vector3 at, Vector3 from, float sent, Vector3 luminance, float radius)
                {
                    var to = at - from;
                    var r = to.Length();
                    var g = haze.Anisotropy;
                    var mu = -Vector3.Dot(to, d) / r;
                    var phase = (1 - (g * g)) / (4 * MathF.PI * MathF.Pow(1 + (g * g) - (2 * g * mu), 1.5f));
                    sum += BeamPhotometry.Luminance(luminance) * sent / (r * r) * phase * haze.ScatteringPerMetre
                        * MathF.Exp(-haze.ExtinctionPerMetre * (t + MathF.Max(0, r - radius))) * 0.02;
                }
            }

            errors.Add(Math.Abs((frame.Linear!.LuminanceAt(x, y) / sum) - 1));
        }

        errors.Sort();
        output.WriteLine($"p50 {errors[30]:P2}, p95 {errors[57]:P2}, max {errors[^1]:P2}");
        Assert.True(errors[30] < 0.01 && errors[57] < 0.04);
    }
}
