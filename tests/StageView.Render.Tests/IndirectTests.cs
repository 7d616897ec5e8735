using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>What matt surfaces throw on each other, in the picture: against the meter's own rays.</summary>
[Collection("gl")]
public sealed class IndirectTests(Rendering gl)
{
    private static readonly RenderSettings Small = new() { Width = 160, Height = 90, Linear = true };

    /// <summary>A hall with a red wall at the left, a box and a spot on the floor; by fragments of light in clear air.</summary>
    private static Moment Hall()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Haze.None;
        b.Add(Scenes.Box(new Vector3(0, 3, -.1f), new Vector3(12, 14, .2f), .4f));
        b.Add(Scenes.Box(new Vector3(0, 3, 5.1f), new Vector3(12, 14, .2f), .6f));
        b.Add(Scenes.Box(new Vector3(0, 10.1f, 2.5f), new Vector3(12, .2f, 5), .5f));
        b.Add(Scenes.Box(new Vector3(-6.1f, 3, 2.5f), new Vector3(.2f, 14, 5)) with { Albedo = new Vector3(.6f, .1f, .1f) });
        b.Add(Scenes.Box(new Vector3(6.1f, 3, 2.5f), new Vector3(.2f, 14, 5), .5f));
        b.Add(Scenes.Box(Vector3.Zero, new Vector3(1.5f, 1, 1.2f), .3f) with { Pose = Pose.FromDegrees(new Vector3(2, 6, .6f), new Vector3(0, 0, 30)) });
        b.Add(Scenes.Spot(new Vector3(-1, 2, 4.6f), new Vector3(-2.5f, 6, 0), 20000, 20, 30));
        b.Add(Scenes.Spot(new Vector3(3, 2, 4.6f), new Vector3(-6, 7, 2), 20000, 20, 30));
        return b.Build(TimeSpan.Zero);
    }

    private static Camera Eye() => Scenes.House() with { Position = new Vector3(.5f, -3.5f, 2), Target = new Vector3(-.5f, 6, 2) };

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Surfaces_show_the_meters_indirect_light_over_pi_times_albedo(bool tiled)
    {
        var moment = Hall();
        var scene = OcclusionScene.From(moment);
        var light = new MattSolver().Solve(moment);
        var meter = new LightMeter(moment, scene, null, light);
        var settings = Small with { Tiled = tiled };
        var with = gl.Renderer.Render(moment, Eye(), settings with { Indirect = light }).Linear!;
        var without = gl.Renderer.Render(moment, Eye(), settings).Linear!;
        var (ours, theirs, ratios) = (new Vector3[moment.Scenery.Length], new Vector3[moment.Scenery.Length], new List<float>());
        for (var y = 1; y < Small.Height; y += 3)
        {
            for (var x = 1; x < Small.Width; x += 3)
            {
                if (!scene.Closest(Eye().Position, Sight.Ray(Eye(), Small.Width, Small.Height, x, y), 50, FixtureIndex.None, out var hit))
                {
                    continue;
                }

                var piece = hit.Instance.Value;
                var shown = (with[x, y] - without[x, y]) * MathF.PI / moment.Scenery.Span[piece].Albedo;
                var there = light.At(hit.Point, hit.Normal);
                (ours[piece], theirs[piece]) = (ours[piece] + shown, theirs[piece] + there);
                ratios.Add(BeamPhotometry.Luminance(shown) / meter.At(hit.Point, hit.Normal).Indirect);
            }
        }

        // Coarse, but right in the mean over each piece, and each colour.
        for (var i = 0; i < ours.Length; i++)
        {
            var off = Vector3.Abs((ours[i] / theirs[i]) - Vector3.One);
            Assert.True(MathF.Max(off.X, MathF.Max(off.Y, off.Z)) < .08f, $"piece {i}: {ours[i]} beside {theirs[i]}");
        }

        Assert.True(ours[0].X / ours[0].Y > 1.2f, "the red wall reddens the floor");
        Assert.InRange(ratios.Order().ElementAt(ratios.Count / 2), .9f, 1.1f);
        // Grain, and what patches blur: nine pixels in ten.
        var off90 = ratios.Select(r => MathF.Abs(r - 1)).Order().ElementAt(ratios.Count * 9 / 10);
        Assert.True(off90 < .11f, $"{off90}");
    }

    [Fact]
    public void Without_it_or_with_that_of_other_scenery_the_picture_is_the_same_to_the_bit()
    {
        var moment = Hall();
        var plain = gl.Renderer.Render(moment, Eye(), Small).Screen!.Rgba.ToArray();
        var other = new MattSolver().Solve(Scenes.Stage(3));

        Assert.NotEqual(plain, gl.Renderer.Render(moment, Eye(), Small with { Indirect = new MattSolver().Solve(moment) }).Screen!.Rgba);
        Assert.Equal(plain, gl.Renderer.Render(moment, Eye(), Small with { Indirect = other }).Screen!.Rgba);
        Assert.Equal(plain, gl.Renderer.Render(moment, Eye(), Small).Screen!.Rgba);
    }
}
