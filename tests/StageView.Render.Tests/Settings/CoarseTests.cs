using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Settings;

/// <summary>The coarse picture of what moves beside the one drawn in full: beams with shadows, people, set pieces, two mirror walls, work light.</summary>
[Collection("gl")]
public sealed class CoarseTests(Rendering gl, ITestOutputHelper output)
{
    private static readonly RenderSettings s_fine = new() { Width = 640, Height = 360, Linear = true, WorkLightLux = 20, Tiled = false };

    // The bounds stand in docs/design/haze-quality.md.
    [Fact]
    public void It_keeps_its_bound_beside_the_fine_one_and_loses_no_light()
    {
        var moment = Scenes.Large(40, 0);
        var fine = gl.Renderer.Render(moment, Scenes.House(), s_fine);
        var coarse = gl.Renderer.Render(moment, Scenes.House(), s_fine with { Quality = RenderQuality.Draft, Coarse = true });
        PngPicture.Write(Path.Combine(Repo.Out("coarse"), "fine.png"), fine.Screen!);
        PngPicture.Write(Path.Combine(Repo.Out("coarse"), "coarse.png"), coarse.Screen!);
        var apart = fine.Screen!.Rgba.Zip(coarse.Screen!.Rgba, (a, b) => Math.Abs(a - b) / 255.0).Where((_, i) => i % 4 != 3).Order().ToList();
        var (mean, tail) = (apart.Average(), apart[apart.Count * 95 / 100]);
        var light = coarse.Linear!.Rgb.Sum() / fine.Linear!.Rgb.Sum();
        output.WriteLine($"mean {mean:P2}, 95th percentile {tail:P1}, light {light:F4}");
        Assert.True(mean < 0.015 && tail < 0.06, $"mean {mean:P2}, 95th percentile {tail:P1}");
        Assert.InRange(light, 0.97, 1.03);

        // The set piece on the left, whose front one beam lights.
        float Front(LinearImage picture) => Enumerable.Range(250, 20).Sum(y => Enumerable.Range(177, 11).Sum(x => picture.Rgb[3 * ((y * 640) + x)]));
        var front = Front(coarse.Linear) / Front(fine.Linear);
        Assert.InRange(front, 0.8, 1.2);
    }

    // An odd size has cells that reach past the picture's edge; where no beam is, nothing may differ but for the haze.
    [Fact]
    public void What_no_beam_lights_is_as_sharp_as_ever_at_any_size()
    {
        var moment = Dark();
        var odd = s_fine with { Width = 333, Height = 187 };
        var fine = gl.Renderer.Render(moment, Scenes.House(), odd);
        var coarse = gl.Renderer.Render(moment, Scenes.House(), odd with { Coarse = true });
        Assert.Equal(fine.Screen!.Rgba, coarse.Screen!.Rgba);

        var lit = Scenes.Large(6, 0);
        var (a, b) = (gl.Renderer.Render(lit, Scenes.House(), odd).Linear!, gl.Renderer.Render(lit, Scenes.House(), odd with { Coarse = true }).Linear!);
        Assert.All(b.Rgb.ToArray(), v => Assert.True(float.IsFinite(v) && v >= 0));
        Assert.InRange(b.Rgb.Sum() / a.Rgb.Sum(), 0.9, 1.1);
    }

    private static Moment Dark()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Box(new(0, 12, 1.5f), new(8, 0.2f, 3)));
        return b.Build(TimeSpan.Zero);
    }
}
