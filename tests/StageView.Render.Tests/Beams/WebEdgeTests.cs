using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Photometry;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Beams;

/// <summary>A photometric file's hard edges are as hard in the picture as they are in the meter, wherever they lie among its angles.</summary>
[Collection("gl")]
public sealed class WebEdgeTests(Rendering gl)
{
    /// <summary>A spot of 10 degrees that ends at once, dark from there to straight up, as files go on to 180 degrees.</summary>
    private static readonly double[] Spot = [1, 1, 0, 0, 0];

    /// <summary>The same with a weak ring about it.</summary>
    private static readonly double[] Ring = [1, 1, .3, .3, 0];

    [Theory]
    [InlineData(false, false)]
    [InlineData(true, false)]
    [InlineData(false, true)]
    [InlineData(true, true)]
    public void A_hard_edge_of_a_web_stays_hard(bool ring, bool tiled)
    {
        Assert.True(WebBuilder.TryBuild("hard", [0, 10, 10.01, 40, 180], [0], [ring ? Ring : Spot], out var web));
        var b = Scenes.Builder();
        b.Begin();
        b.Webs = [web!];
        b.Add(Scenes.Floor(albedo: 0.4f));
        b.Add(Scenes.Spot(new Vector3(0, 0, 5), Vector3.Zero, 1000, 10, 18) with { Profile = WebBuilder.Profile(web!, new WebIndex(0)), StartDistance = 0 });
        var moment = b.Build(TimeSpan.Zero);
        // The rim of the spot, 8 mm a pixel.
        var camera = Scenes.House() with { Position = new Vector3(0.88f, -0.5f, 2), Target = new Vector3(0.88f, 0, 0), VerticalFieldRadians = 0.7f };
        var settings = new RenderSettings { Width = 320, Height = 180, Linear = true, Screen = false, Tiled = tiled };
        var picture = gl.Renderer.Render(moment, camera, settings).Linear!;
        var meter = new LightMeter(moment, null);
        var (lit, dark) = (0, 0);
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++)
            {
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                var place = camera.Position - (d * (camera.Position.Z / d.Z));
                float At(float way) => meter.At(place * (1 + way), Vector3.UnitZ).Lux * 0.4f / MathF.PI;
                var edge = MathF.Abs(At(0.002f) - At(-0.002f));
                Assert.True(MathF.Abs(picture.LuminanceAt(x, y) - At(0)) <= (0.01f * At(0)) + edge + 1e-3f, $"{x},{y}: {picture.LuminanceAt(x, y)}, {At(0)}");
                _ = place.Length() < 0.8814f ? lit++ : dark++;
            }
        }

        Assert.True(lit > 5000 && dark > 5000, $"{lit}, {dark}");
    }
}
