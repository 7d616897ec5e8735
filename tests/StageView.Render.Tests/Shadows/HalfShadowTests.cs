using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Sampling;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Shadows;

/// <summary>Half-shadows of lenses of real size in the picture, on surfaces beside the meter, in haze beside the mean of samples over the lens.</summary>
[Collection("gl")]
public sealed class HalfShadowTests(Rendering gl, ITestOutputHelper output)
{
    private const int Samples = 64;

    private static readonly RenderSettings Small = new() { Width = 320, Height = 180, Linear = true };

    [Theory]
    [InlineData("shadow", false)]
    [InlineData("mirror", false)]
    [InlineData("shadow", true)]
    [InlineData("mirror", true)]
    public void On_a_surface_the_half_shadow_is_the_meters(string edge, bool tiled)
    {
        var moment = Of(edge, new Haze(0, 1, 0), null);
        var camera = OverTheEdge(edge);
        var frame = gl.Renderer.Render(moment, camera, Small with { Tiled = tiled });
        PngPicture.Write(Path.Combine(Repo.Out("half-shadow"), $"{edge}-surface.png"), frame.Screen!);
        var picture = frame.Linear!;
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var y = picture.Height / 2;
        var full = MathF.Max(picture.LuminanceAt(4, y), picture.LuminanceAt(picture.Width - 5, y));
        var (worst, sum, soft) = (0f, 0f, 0);
        for (var x = 4; x < picture.Width - 4; x++)
        {
            Assert.True(scene.Closest(camera.Position, Sight.Ray(camera, picture.Width, picture.Height, x, y), 100, FixtureIndex.None, out var hit));
            var expected = meter.At(hit.Point, hit.Normal).Lux * 0.3f / MathF.PI;
            var off = MathF.Abs(picture.LuminanceAt(x, y) - expected) / full;
            (worst, sum) = (MathF.Max(worst, off), sum + off);
            soft += expected > 0.03f * full && expected < 0.9f * full ? 1 : 0;
        }

        output.WriteLine($"{soft} pixels of half-shadow; off by {worst:P1} at worst, {sum / (picture.Width - 8):P2} in the mean of the full light");
        Assert.True(soft > 20);
        Assert.True(worst < 0.1f && sum / (picture.Width - 8) < 0.015f, $"{worst}, {sum / (picture.Width - 8)}");
    }

    /// <summary>Seen along the mirror's edge, where a point's light would end like cut.</summary>
    [Fact]
    public void In_haze_what_a_mirror_cuts_is_as_soft_as_the_mean_over_the_lens()
    {
        var camera = Scenes.House() with { Position = new Vector3(0, -9, 3), Target = new Vector3(0, 0, 3), VerticalFieldRadians = 0.8f };
        var live = gl.Renderer.Render(Of("mirror", Scenes.Air, null), camera, Small);
        var mean = gl.Renderer.Render(s => Of("mirror", Scenes.Air, s), Samples, camera, Small);
        var hard = gl.Renderer.Render(Of("mirror", Scenes.Air, null, wide: false), camera, Small);
        foreach (var (name, frame) in ((string, RenderedFrame)[])[("live", live), ("mean", mean), ("hard", hard)])
        {
            PngPicture.Write(Path.Combine(Repo.Out("half-shadow"), $"haze-{name}.png"), frame.Screen!);
        }

        var (soft, point) = (Off(live.Linear!, mean.Linear!), Off(hard.Linear!, mean.Linear!));
        output.WriteLine($"mean difference to the mean over the lens, of the brightest: soft {soft:P2}, hard {point:P2}");
        Assert.True(soft < 0.4f * point, $"{soft}, {point}");
    }

    /// <summary>At fine detail the shaft of shadow behind an edge is soft in haze, too.</summary>
    [Fact]
    public void In_haze_fine_detail_softens_shadows_towards_the_mean_over_the_lens()
    {
        // Along the plate's edge, which throws a plane of shadow.
        var camera = Scenes.House() with { Position = new Vector3(0, -9, -3), Target = new Vector3(0, 0, -3), VerticalFieldRadians = 0.12f };
        var fine = Small with { Quality = RenderQuality.Fine };
        var mean = gl.Renderer.Render(s => Of("shadow", Scenes.Air, s), Samples, camera, fine);
        var soft = gl.Renderer.Render(Of("shadow", Scenes.Air, null), camera, fine);
        var hard = gl.Renderer.Render(Of("shadow", Scenes.Air, null), camera, Small);
        foreach (var (name, frame) in ((string, RenderedFrame)[])[("fine", soft), ("mean", mean), ("normal", hard)])
        {
            PngPicture.Write(Path.Combine(Repo.Out("half-shadow"), $"shaft-{name}.png"), frame.Screen!);
        }

        var (off, point) = (Off(soft.Linear!, mean.Linear!), Off(hard.Linear!, mean.Linear!));
        output.WriteLine($"mean difference to the mean over the lens, of the brightest: fine {off:P2}, normal {point:P2}");
        Assert.True(off < 0.6f * point, $"{off}, {point}");
    }

    private static float Off(LinearImage a, LinearImage b)
    {
        var (sum, most) = (0f, 0f);
        for (var y = 20; y < 90; y++)
        {
            for (var x = 0; x < a.Width; x++)
            {
                sum += MathF.Abs(a.LuminanceAt(x, y) - b.LuminanceAt(x, y));
                most = MathF.Max(most, b.LuminanceAt(x, y));
            }
        }

        return sum / (70 * a.Width) / most;
    }

    /// <summary>From the other side of the room, 60 cm across the edge's shadow.</summary>
    private static Camera OverTheEdge(string edge)
    {
        var at = edge == "shadow" ? new Vector3(0, 0, -4) : new Vector3(0, 0, 6);
        var eye = at + new Vector3(0, -1, edge == "shadow" ? 1.2f : -1.2f);
        return Scenes.House() with { Position = eye, Target = at, Up = Vector3.UnitY, VerticalFieldRadians = 0.25f };
    }

    /// <summary>A lens of 20 cm, 5 m above an edge along y: of a plate over a floor 4 m below, or of a mirror that lights a ceiling.</summary>
    private static Moment Of(string edge, Haze haze, FrameSample? sample, bool wide = true)
    {
        var b = Scenes.Builder();
        b.Sample = sample;
        b.Begin();
        b.Haze = haze;
        if (edge == "shadow")
        {
            b.Add(Scenes.Floor(8) with { Pose = Light.Geometry.Pose.At(0, 0, -4) });
            b.Add(Scenes.Box(new Vector3(2, 0, -0.01f), new Vector3(4, 8, 0.02f)));
        }
        else
        {
            b.AddMirror(new Vector3(-1, 0, 0), Vector3.UnitZ, Vector3.UnitY, 2, 2, reflectance: 1);
            b.Add(Scenes.Floor(8) with { Pose = Light.Geometry.Pose.FromDegrees(new Vector3(0, 0, 6), new Vector3(180, 0, 0)) });
        }

        // Beside the ceiling's plate the lens looks down from below it.
        var spot = Scenes.Spot(new Vector3(0, 0, 5), Vector3.Zero, 20000, 14, 22) with { StartDistance = 0 };
        b.Add(wide ? Scenes.WithLens(spot, 0.1f) : spot);
        return b.Build(TimeSpan.Zero, 1);
    }
}
