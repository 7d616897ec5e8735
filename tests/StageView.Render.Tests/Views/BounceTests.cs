using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Views;

[Collection("gl")]
public sealed class BounceTests(Rendering gl)
{
    // Worked by hand from the law of reflection (Hecht, Optics, chapter 4: the angle of reflection equals the angle of incidence, in one plane).
    // Mirror: the plane y = 6, facing the house. Source S = (-2, 0, 5), axis to M = (0, 6, 3): direction (2, 6, -2). Reflected: (2, -6, -2).
    // From M to the floor z = 0: 3 / 2 = 1.5 times: lands at (0 + 3, 6 - 9, 0) = (3, -3, 0).
    [Fact]
    public void A_bounced_spot_is_seen_within_a_pixel_of_where_the_law_of_reflection_puts_it()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Scenes.Floor());
        b.AddMirror(new Vector3(0, 6, 3), -Vector3.UnitY, Vector3.UnitZ, 4, 4);
        b.Add(Scenes.Spot(new Vector3(-2, 0, 5), new Vector3(0, 6, 3), 10000, 1.5f, 2));
        var camera = new Camera
        {
            Name = "above",
            Position = new Vector3(3, -3, 30),
            Target = new Vector3(3, -3, 0),
            Up = Vector3.UnitY,
            VerticalFieldRadians = Angles.Radians(20),
            Ev100 = 5,
        };
        var settings = new RenderSettings { Width = 640, Height = 640, Linear = true };
        var frame = gl.Renderer.Render(b.Build(TimeSpan.Zero), camera, settings);
        PngPicture.Write(Path.Combine(Repo.Out("bounce"), "spot.png"), frame.Screen!);

        // The spot is an ellipse with its far end dimmer: the axis is where the intensity off the image apex (-2, 12, 5) is largest,
        // so each pixel is weighed back by the cube of its distance to the apex over the height (inverse square times cosine).
        var apex = new Vector3(-2, 12, 5);
        var (best, at) = (0f, Vector2.Zero);
        for (var y = 0; y < 640; y++)
        {
            for (var x = 0; x < 640; x++)
            {
                var ray = Sight.Ray(camera, 640, 640, x, y);
                var p = camera.Position + (ray * (-camera.Position.Z / ray.Z));
                var intensity = frame.Linear!.LuminanceAt(x, y) * MathF.Pow((p - apex).Length(), 3);
                if (intensity > best * 1.00001f)
                {
                    (best, at) = (intensity, new Vector2(x + 0.5f, y + 0.5f));
                }
            }
        }

        var lands = Sight.Pixel(camera, 640, 640, new Vector3(3, -3, 0));
        Assert.True(best > 0);
        Assert.True(Vector2.Distance(lands, Centroid(frame.Linear!, camera, apex, best)) < 1, $"lands at {lands}, seen at {at}");
    }

    // Middle of the pixels above 90 % of the axis intensity, weighed to ground.
    private static Vector2 Centroid(LinearImage image, Camera camera, Vector3 apex, float best)
    {
        // The cone's core about the axis is even, so the mean direction of its pixels, weighed by solid angle, is the axis.
        var sum = Vector3.Zero;
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var ray = Sight.Ray(camera, image.Width, image.Height, x, y);
                var p = camera.Position + (ray * (-camera.Position.Z / ray.Z));
                var to = p - apex;
                if (image.LuminanceAt(x, y) * MathF.Pow(to.Length(), 3) > 0.5f * best)
                {
                    sum += Vector3.Normalize(to) * (1 / MathF.Pow(to.Length(), 3));
                }
            }
        }

        var axis = Vector3.Normalize(sum);
        var spot = apex + (axis * (-apex.Z / axis.Z));
        return Sight.Pixel(camera, image.Width, image.Height, spot);
    }

    // Image points by hand: mirrors at y = 5 and y = -3; a globe at (1, -1, 2) is seen at (1, 11, 2), and by way of both at (1, 15, 2), each mirror taking its
    // share.
    [Theory]
    [InlineData(0, 0, 0)]
    [InlineData(1, 0.9f, 0)]
    [InlineData(2, 0.9f, 0.9f * 0.8f)]
    public void A_mirror_in_a_mirror_shows_as_deep_as_asked(int depth, float first, float second)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0, 1, 0);
        b.AddMirror(new Vector3(0, 5, 2), -Vector3.UnitY, Vector3.UnitZ, 8, 6, 0.9f);
        b.AddMirror(new Vector3(0, -3, 2), Vector3.UnitY, Vector3.UnitZ, 8, 6, 0.8f);
        b.AddSurface(new PixelSurface
        {
            Shape = PixelShape.Globe,
            Origin = new Vector3(1, -1, 2),
            EdgeU = new Vector3(0.5f, 0, 0),
            Columns = 1,
            Rows = 1,
            Fill = 1,
            Fixture = new FixtureIndex(1),
        })[0] = new Vector3(100);
        var camera = new Camera { Name = "between", Position = new Vector3(0, 0, 1.5f), Target = new Vector3(0, 5, 1.5f), Ev100 = 5 };
        var picture = gl.Renderer.Render(b.Build(TimeSpan.Zero), camera,
            new RenderSettings { Width = 640, Height = 360, Linear = true, MirrorDepth = depth }).Linear!;
        float Seen(Vector3 image)
        {
            var at = Sight.Pixel(camera, 640, 360, image);
            return picture.LuminanceAt((int)at.X, (int)at.Y) / 100;
        }

        Assert.Equal(first, Seen(new Vector3(1, 11, 2)), 0.01f);
        Assert.Equal(second, Seen(new Vector3(1, 15, 2)), 0.01f);
    }
}
