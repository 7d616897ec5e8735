using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Sampling;
using StageView.Render.Lens;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Lens;

[Collection("gl")]
public sealed class LensTests(Rendering gl, ITestOutputHelper output)
{
    /// <summary>One pixel surface of one pixel, in the middle of the picture, and nothing else.</summary>
    private static Moment Point(float away, float size)
    {
        var b = Scenes.Builder();
        b.Begin();
        var s = b.AddSurface(new PixelSurface
        {
            Origin = new Vector3(-size / 2, away, size / 2), EdgeU = new Vector3(size, 0, 0), EdgeV = new Vector3(0, 0, -size), Columns = 1, Rows = 1, Fill = 1,
            Fixture = new FixtureIndex(1),
        });
        s[0] = new Vector3(1000);
        return b.Build(TimeSpan.Zero);
    }

    private static readonly Camera Ahead =
        new() { Name = "ahead", Position = Vector3.Zero, Target = new Vector3(0, 1, 0), Ev100 = 5, VerticalFieldRadians = Angles.Radians(30) };

    // Thin lens: a point at z before a lens of diameter A that is focused at F spreads over a disc of A |z - F| / F at its own distance; an even disc's
    // variance along one axis is its diameter squared / 16, an even square's its side squared / 12.
    [Theory]
    [InlineData(5, 10)]
    [InlineData(20, 10)]
    [InlineData(12, 6)]
    public void A_point_out_of_focus_spreads_over_the_thin_lens_disc(float away, float focus)
    {
        const float diameter = 0.2f;
        var size = 0.008f * away;
        var camera = Ahead with { LensDiameter = diameter, FocusDistance = focus };
        var settings = new RenderSettings { Width = 480, Height = 360, Linear = true };
        var frame = gl.Renderer.Render(Point(away, size), camera, settings);
        PngPicture.Write(Path.Combine(Repo.Out("lens"), $"focus-{away}-{focus}.png"), frame.Screen!);
        var (sum, middle, variance) = Moments(frame.Linear!);
        var pixel = 2 * MathF.Tan(camera.VerticalFieldRadians / 2) / 360 * away;
        var disc = diameter * MathF.Abs(away - focus) / focus / pixel;
        var square = size / pixel;
        var expected = (disc * disc / 16) + (square * square / 12);
        var light = sum / (1000 * square * square);
        output.WriteLine($"disc of {disc:F1} pixels: variance {variance:F2}, expected {expected:F2}; light {light:F3}; middle {middle}");
        Assert.InRange(variance / expected, 0.95, 1.05);
        Assert.InRange(light, 0.95, 1.05);
        Assert.True((middle - new Vector2(239.5f, 179.5f)).Length() < 0.5f);
    }

    /// <summary>A mast thinner than a pixel before a wall in work light: each pixel shows the mean over its area, not what lies at its middle.</summary>
    [Fact]
    public void The_mean_of_samples_shows_the_share_of_each_pixel()
    {
        Moment Of(FrameSample sample)
        {
            var b = Scenes.Builder();
            b.Sample = sample;
            b.Begin();
            b.Add(Scenes.Box(new Vector3(0, 11, 0), new Vector3(12, 2, 12)));
            b.Add(Scenes.Box(new Vector3(0, 10 - 0.01f, 0), new Vector3(0.01f, 0.002f, 9), albedo: 0));
            return b.Build(TimeSpan.Zero);
        }

        var camera = Ahead with { Up = Vector3.Normalize(new Vector3(0.1f, 0, 1)) };
        var settings = new RenderSettings { Width = 320, Height = 240, Linear = true, Screen = false, WorkLightLux = 500 };
        var picture = gl.Renderer.Render(Of, 64, camera, settings).Linear!;
        Assert.Equal(picture.Rgb, gl.Renderer.Render(Of, 64, camera, settings).Linear!.Rgb);
        var one = gl.Renderer.Render(Of, 1, camera, settings).Linear!;
        var pixel = 2 * MathF.Tan(camera.VerticalFieldRadians / 2) / 240 * 10;
        // Of each row the mast, leaning by a tenth, takes its width by the cosine of that.
        var expected = 0.01f * MathF.Sqrt(1.01f) / pixel;
        Assert.InRange(expected, 0.2f, 0.6f);
        float Missing(LinearImage from, int y)
        {
            var wall = (from.LuminanceAt(100, y) + from.LuminanceAt(220, y)) / 2;
            return Enumerable.Range(130, 60).Sum(x => 1 - (from.LuminanceAt(x, y) / wall));
        }

        var rows = Enumerable.Range(70, 100).ToList();
        float Spread(LinearImage from) => MathF.Sqrt(rows.Average(y => MathF.Pow(Missing(from, y) - rows.Average(r => Missing(from, r)), 2)));
        output.WriteLine($"the mast is {expected:F2} pixels wide; spread of what rows miss: {Spread(picture):F3} with 64 samples, {Spread(one):F3} with one");
        Assert.True(Spread(picture) < 0.25f * Spread(one));
        Assert.Equal(expected, rows.Average(y => Missing(picture, y)), 0.1f * expected);
    }

    [Fact]
    public void What_is_in_focus_stays_as_it_was()
    {
        var settings = new RenderSettings { Width = 480, Height = 360, Linear = true };
        var sharp = gl.Renderer.Render(Point(10, 1), Ahead, settings);
        var lens = gl.Renderer.Render(Point(10, 1), Ahead with { LensDiameter = 0.2f, FocusDistance = 10 }, settings);
        for (var i = 0; i < sharp.Linear!.Rgb.Length; i++)
        {
            Assert.Equal(sharp.Linear.Rgb[i], lens.Linear!.Rgb[i], 0.02f * sharp.Linear.Rgb[i] + 1e-3f);
        }
    }

    // Light on a wall is worked out along the rays of each point of the lens: in focus, they meet in the same places.
    [Fact]
    public void Light_on_a_wall_in_focus_stays_where_it_was()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Box(new Vector3(0, 11, 0), new Vector3(12, 2, 12)));
        b.Add(Scenes.Spot(new Vector3(1, 1, -1), new Vector3(0.5f, 10, 0.4f), 10000, 8, 10));
        var moment = b.Build(TimeSpan.Zero);
        var settings = new RenderSettings { Width = 320, Height = 240, Linear = true };
        var sharp = gl.Renderer.Render(moment, Ahead, settings).Linear!;
        var lens = gl.Renderer.Render(moment, Ahead with { LensDiameter = 0.2f, FocusDistance = 10 }, settings).Linear!;
        var most = sharp.Rgb.Max();
        Assert.True(most > 5);
        for (var i = 0; i < sharp.Rgb.Length; i++)
        {
            Assert.Equal(sharp.Rgb[i], lens.Rgb[i], 0.01f * most);
        }
    }

    // What the profile spreads out of the square is lost to its middle, and no more: its integral over the square, in tenths of a pixel.
    [Fact]
    public void The_middle_of_a_bright_square_keeps_what_the_profile_says()
    {
        const float share = 0.8f;
        const float light = 1000;
        var settings = new RenderSettings { Width = 128, Height = 128 };
        var ev = MathF.Log2(light / 0.25f / Exposure.SaturationLuminance(0));
        var frame = gl.Renderer.Render(Point(10, 1), Ahead with { Ev100 = ev, Bloom = share }, settings);
        var pixel = 2 * MathF.Tan(Ahead.VerticalFieldRadians / 2) / 128;
        var core = LensScatter.CoreRadians / pixel;
        var half = 0.05f / pixel;
        double kept = 0;
        for (var x = -half + 0.05f; x < half; x += 0.1f)
        {
            for (var y = -half + 0.05f; y < half; y += 0.1f)
            {
                kept += 0.01 / (2 * Math.PI * core * core) * Math.Pow(1 + (((x * x) + (y * y)) / (core * core)), -1.5);
            }
        }

        var expected = light * (1 - share + (share * kept));
        var seen = Luminance(frame.Screen!, 63.5f, 63.5f, ev);
        output.WriteLine($"{kept:P1} of the scattered light stays in the square: {seen:F1} cd/m², expected {expected:F1}");
        Assert.InRange(seen / expected, 0.97, 1.03);
    }

    // The screen's light is read back through the tone curve, which is a straight line below its knee.
    [Fact]
    public void Bloom_follows_the_stated_profile()
    {
        var settings = new RenderSettings { Width = 640, Height = 640, Linear = true };
        var camera = Ahead with { Ev100 = 5, Bloom = 0.5f };
        const float size = 0.02f;
        var pixelAngle = 2 * MathF.Tan(camera.VerticalFieldRadians / 2) / 640;
        var frame = gl.Renderer.Render(Point(10, size), camera with { Ev100 = 2 }, settings);
        PngPicture.Write(Path.Combine(Repo.Out("lens"), "bloom.png"), frame.Screen!);
        // Integral of the profile over the plane is 2 pi core^2.
        var core = LensScatter.CoreRadians / pixelAngle;
        var source = (float)Moments(frame.Linear!).Sum * 0.5f;
        foreach (var r in new[] { 8, 14, 24, 40 })
        {
            var expected = source / (2 * MathF.PI * core * core) * MathF.Pow(1 + (r * r / (core * core)), -1.5f);
            var seen = Enumerable.Range(0,
                64).Average(k => Luminance(frame.Screen!, 319.5f + (r * MathF.Cos(k * MathF.Tau / 64)), 319.5f + (r * MathF.Sin(k * MathF.Tau / 64)), 2));
            output.WriteLine($"{r} pixels out: {seen:F4} cd/m², the profile {expected:F4}");
            Assert.InRange(seen / expected, 0.75, 1.3);
        }
    }

    [Theory]
    [InlineData(7, 3)]
    [InlineData(10, 12)]
    public void Shares_of_the_levels_add_up_and_follow_the_mix_of_Gaussians(int levels, double core)
    {
        var shares = LensScatter.Shares(levels, core);
        Assert.Equal(1, shares.Sum(), 1e-5f);
        Assert.All(shares, s => Assert.True(s >= 0));
        // Half of the light of (1 + x^2)^-1.5 lies within x = sqrt 3: 1 - (1 + x^2)^-1/2 = 1/2. The same from the Gaussians.
        var within = shares.Select((s, k) => s * (k == 0 ? 1 : 1 - Math.Exp(-3 * core * core / (2 * Math.Pow(LensScatter.Sigma(k), 2))))).Sum();
        Assert.InRange(within, 0.46, 0.54);
    }

    private static (double Sum, Vector2 Middle, double Variance) Moments(LinearImage image)
    {
        double sum = 0, x1 = 0, y1 = 0, x2 = 0;
        for (var y = 0; y < image.Height; y++)
        {
            for (var x = 0; x < image.Width; x++)
            {
                var l = image.LuminanceAt(x, y);
                sum += l;
                x1 += l * x;
                y1 += l * y;
                x2 += l * x * x;
            }
        }

        return (sum, new Vector2((float)(x1 / sum), (float)(y1 / sum)), (x2 / sum) - Math.Pow(x1 / sum, 2));
    }

    /// <summary>cd/m² of a grey pixel below the knee, between its neighbours.</summary>
    private static double Luminance(PixelImage image, float x, float y, float ev)
    {
        double At(int i, int j)
        {
            var v = image.Rgba[((j * image.Width) + i) * 4] / 255.0;
            return (v <= 0.04045 ? v / 12.92 : Math.Pow((v + 0.055) / 1.055, 2.4)) * Exposure.SaturationLuminance(ev);
        }

        var (i, j) = ((int)x, (int)y);
        var (u, v) = (x - i, y - j);
        return ((1 - u) * (1 - v) * At(i, j)) + (u * (1 - v) * At(i + 1, j)) + ((1 - u) * v * At(i, j + 1)) + (u * v * At(i + 1, j + 1));
    }
}
