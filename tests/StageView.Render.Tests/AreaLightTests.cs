using System.Numerics;
using StageView.Light;

namespace StageView.Render.Tests;

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
            Origin = new Vector3(-3, 6, 3), EdgeU = new Vector3(4, 0, 0), EdgeV = new Vector3(0, 0, -2), Columns = 40, Rows = 20, Fill = 0.7f, Fixture = 1,
        });
        for (var i = 0; i < wall.Length; i++)
        {
            wall[i] = i % 40 < 20 ? new Vector3(900, 100, 100) : new Vector3(50, 100, 900);
        }

        var globe = b.AddSurface(new PixelSurface { Shape = PixelShape.Globe, Origin = new Vector3(4, 3, 2), EdgeU = new Vector3(0.5f, 0, 0), Columns = 1, Rows = 1, Fill = 1, Fixture = 2 });
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
}
