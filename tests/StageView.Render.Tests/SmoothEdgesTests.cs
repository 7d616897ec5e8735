using System.Numerics;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>Edges without stairs, beside the mean of 64 whole pictures with places of their own in each pixel.</summary>
[Collection("gl")]
public sealed class SmoothEdgesTests(Rendering gl)
{
    private static readonly RenderSettings Small = new() { Width = 160, Height = 90, Linear = true };

    private static readonly Camera Plain = Scenes.House(5) with { Position = new Vector3(1, -9, 3), Target = new Vector3(0, 4, 2) };

    private static Moment Set()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0.01f, 1, 0.6f);
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(-2, 3, 1), new Vector3(2, 2, 2), 0.8f));
        b.Add(Scenes.Box(new Vector3(2, 2, 1.5f), new Vector3(0.4f, 0.4f, 3), 0.7f));
        b.Add(Scenes.Box(new Vector3(1, 5, 4.5f), new Vector3(9, 0.3f, 0.3f), 0.7f));
        b.AddMirror(new Vector3(-4, 6, 3), Vector3.Normalize(new Vector3(0.3f, -1, 0)), Vector3.UnitZ, 2, 2);
        b.Add(Scenes.Spot(new Vector3(3, -7, 7), new Vector3(-1, 3, 1), 40000, 30, 40));
        b.Add(Scenes.Spot(new Vector3(-5, 6, 7), new Vector3(2, 2, 0), 20000, 12, 18));
        var wall = b.AddSurface(new PixelSurface
        {
            Origin = new Vector3(3, 7, 3.5f), EdgeU = new Vector3(3, -1, 0.4f), EdgeV = new Vector3(0, 0, -2), Columns = 24, Rows = 16, Fill = 0.7f,
            Fixture = new(0),
        });
        wall.Fill(new Vector3(60, 20, 90));
        return b.Build(TimeSpan.Zero);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Edges_come_near_the_mean_of_many_samples_and_all_else_stays(bool tiled)
    {
        var settings = Small with { Tiled = tiled };
        var plain = gl.Renderer.Render(Set(), Plain, settings);
        var smooth = gl.Renderer.Render(Set(), Plain with { SmoothEdges = true }, settings);
        // Places in the pixel alone: lenses stay points in the middle, the moment the same.
        var right = gl.Renderer.Render(_ => Set(), 64, Plain, settings);
        PngPicture.Write(Path.Combine(Repo.Out("edges"), $"plain-{tiled}.png"), plain.Screen!);
        PngPicture.Write(Path.Combine(Repo.Out("edges"), $"smooth-{tiled}.png"), smooth.Screen!);
        PngPicture.Write(Path.Combine(Repo.Out("edges"), $"right-{tiled}.png"), right.Screen!);
        var (before, after, same, edges) = (new List<float>(), new List<float>(), 0, 0);
        for (var y = 1; y < Small.Height - 1; y++)
        {
            for (var x = 1; x < Small.Width - 1; x++)
            {
                same += plain.Linear![x, y] == smooth.Linear![x, y] ? 1 : 0;
                float Off(PixelImage picture) => Math.Abs(picture.Rgba[((y * Small.Width) + x) * 4] - right.Screen!.Rgba[((y * Small.Width) + x) * 4]);
                if (plain.Linear[x, y] != smooth.Linear[x, y])
                {
                    edges++;
                    before.Add(Off(plain.Screen!));
                    after.Add(Off(smooth.Screen!));
                }
            }
        }

        var (was, now) = (before.Average(), after.Average());
        var (was95, now95) = (before.Order().ElementAt(edges * 95 / 100), after.Order().ElementAt(edges * 95 / 100));
        TestContext.Current.TestOutputHelper?.WriteLine($"{edges} pixels, mean {was:0.0} to {now:0.0} levels, 95th {was95} to {now95}; {same} as before");
        Assert.InRange(edges, 300, 3500);
        Assert.True(now < was / 2, $"{was} became {now}");
        Assert.True(now95 < was95 / 1.8f, $"{was95} became {now95}");
    }

    [Fact]
    public void Gobo_shafts_thinner_than_a_pixel_come_nearer_to_their_mean_over_it()
    {
        var rgb = new byte[128 * 128 * 3];
        for (var i = 0; i < rgb.Length; i++)
        {
            rgb[i] = i / 3 % 128 / 4 % 2 == 0 ? (byte)255 : (byte)0;
        }

        var b = Scenes.Builder();
        b.GoboImages = [new GoboImage { Name = "stripes", Size = 128, Rgb = rgb, Transmission = 0.5f }];
        b.Begin();
        b.Haze = new Haze(0.02f, 1, 0.6f);
        // Along the shafts, from far away.
        b.Add(Scenes.Spot(new Vector3(0, 20, 9), new Vector3(0, -2, 1), 40000, 16, 20) with { Gobo = new GoboState(1, 0.2f, 0) });
        var moment = b.Build(TimeSpan.Zero);
        var eye = Scenes.House(4) with { Position = new Vector3(3, -12, 2), Target = new Vector3(0, 6, 4) };
        var right = gl.Renderer.Render(_ => moment, 64, eye, Small).Linear!.Rgb;
        double Off(Camera camera) => gl.Renderer.Render(moment, camera, Small).Linear!.Rgb.Zip(right, (a, r) => Math.Abs((double)a - r)).Sum() / right.Sum();
        var (plain, smooth) = (Off(eye), Off(eye with { SmoothEdges = true }));
        TestContext.Current.TestOutputHelper?.WriteLine($"{plain:P2} to {smooth:P2}");
        Assert.True(smooth < 0.8 * plain, $"{plain} became {smooth}");
    }

    [Fact]
    public void Without_it_nothing_changes_and_samples_do_not_ask()
    {
        var plain = gl.Renderer.Render(Set(), Plain, Small).Screen!.Rgba.ToArray();
        Assert.NotEqual(plain, gl.Renderer.Render(Set(), Plain with { SmoothEdges = true }, Small).Screen!.Rgba);
        Assert.Equal(plain, gl.Renderer.Render(Set(), Plain, Small).Screen!.Rgba);
        var many = gl.Renderer.Render(_ => Set(), 4, Plain, Small).Screen!.Rgba.ToArray();
        Assert.Equal(many, gl.Renderer.Render(_ => Set(), 4, Plain with { SmoothEdges = true }, Small).Screen!.Rgba);
    }
}
