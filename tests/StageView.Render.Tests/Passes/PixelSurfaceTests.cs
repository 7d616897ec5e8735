using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Passes;

[Collection("gl")]
public sealed class PixelSurfaceTests(Rendering gl)
{
    private static readonly Camera Front = new()
    {
        Name = "front",
        Position = new Vector3(0, -10, 2),
        Target = new Vector3(0, 0, 2),
        VerticalFieldRadians = Angles.Radians(20),
    };

    [Fact]
    public void A_filled_wall_shows_its_luminance()
    {
        var image = Draw(fill: 1, Front, 160, 90, (_, _) => new Vector3(100, 200, 50));
        var c = At(image, 80, 45);
        Assert.Equal(100, c.X, 0.5);
        Assert.Equal(200, c.Y, 0.5);
        Assert.Equal(50, c.Z, 0.5);
    }

    // The mean over a whole grid is luminance x fill², whatever the distance: checked from 5 m (grid seen) to 320 m (one picture element).
    [Theory]
    [InlineData(5)]
    [InlineData(20)]
    [InlineData(80)]
    [InlineData(320)]
    public void The_mean_luminance_holds_at_any_distance(float distance)
    {
        var camera = Front with { Position = new Vector3(0, -distance, 2), VerticalFieldRadians = 2 * MathF.Atan(0.9f / distance) };
        var image = Draw(fill: 0.7f, camera, 200, 120, (x, y) => new Vector3((x + y) % 2 == 0 ? 400 : 0));
        double sum = 0;
        var n = 0;
        for (var y = 30; y < 90; y++)
        {
            for (var x = 50; x < 150; x++)
            {
                sum += At(image, x, y).X;
                n++;
            }
        }

        Assert.Equal(200 * 0.49, sum / n, 3.0);
    }

    [Fact]
    public void The_first_pixel_is_top_left_seen_from_the_front()
    {
        var image = Draw(fill: 1, Front, 160, 90, (x, y) => new Vector3(x == 0 && y == 0 ? 1000 : 1));
        var corner = Sight.Pixel(Front, 160, 90, new Vector3(-1.95f, 0, 2.95f));
        Assert.True(At(image, (int)corner.X, (int)corner.Y).X > 500);
        var other = Sight.Pixel(Front, 160, 90, new Vector3(1.95f, 0, 1.05f));
        Assert.True(At(image, (int)other.X, (int)other.Y).X < 10);
    }

    [Fact]
    public void From_behind_a_wall_is_dark()
    {
        var image = Draw(fill: 1, Front with { Position = new Vector3(0, 10, 2) }, 64, 36, (_, _) => new Vector3(500));
        Assert.True(At(image, 32, 18).X < 1e-3f);
    }

    [Fact]
    public void A_globe_is_round_and_as_bright_all_over()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.AddSurface(new PixelSurface
        {
            Shape = PixelShape.Globe,
            Origin = new Vector3(0, 0, 2),
            EdgeU = new Vector3(0.6f, 0, 0),
            EdgeV = new Vector3(0, 0, -0.6f),
            Columns = 1,
            Rows = 1,
            Fill = 1,
        })[0] = new Vector3(300);
        var image = Linear(b.Build(TimeSpan.Zero), Front, 320, 180);
        var lit = 0;
        for (var y = 0; y < 180; y++)
        {
            for (var x = 0; x < 320; x++)
            {
                lit += At(image, x, y).X > 150 ? 1 : 0;
            }
        }

        // Area of the disc as seen from 10 m: radius asin(0.3 / 10), in pixels of 20° / 180.
        var radius = 0.3 / Math.Sqrt(100 - 0.09) / (2 * Math.Tan(Math.PI / 18) / 180);
        Assert.Equal(Math.PI * radius * radius, lit, Math.PI * radius * radius * 0.03);
        Assert.Equal(300, At(image, 160, 90).X, 1.0);
    }

    private static Vector3 At(LinearImage image, int x, int y) =>
        new(image.Rgb[3 * ((y * image.Width) + x)], image.Rgb[(3 * ((y * image.Width) + x)) + 1], image.Rgb[(3 * ((y * image.Width) + x)) + 2]);

    private LinearImage Draw(float fill, Camera camera, int width, int height, Func<int, int, Vector3> pixel)
    {
        var b = Scenes.Builder();
        b.Begin();
        var pixels = b.AddSurface(new PixelSurface
        {
            Origin = new Vector3(-2, 0, 3),
            EdgeU = new Vector3(4, 0, 0),
            EdgeV = new Vector3(0, 0, -2),
            Columns = 40,
            Rows = 20,
            Fill = fill,
        });
        for (var y = 0; y < 20; y++)
        {
            for (var x = 0; x < 40; x++)
            {
                pixels[(y * 40) + x] = pixel(x, y);
            }
        }

        return Linear(b.Build(TimeSpan.Zero), camera, width, height);
    }

    private LinearImage Linear(Moment moment, Camera camera, int width, int height) =>
        gl.Renderer.Render(moment, camera, new RenderSettings { Width = width, Height = height, Linear = true, Screen = false }).Linear!;
}
