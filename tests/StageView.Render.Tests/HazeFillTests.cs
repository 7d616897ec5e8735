using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>Haze that scatters more than once, in the picture: what it adds, beside the cells that the Light tests hold against a Monte Carlo.</summary>
[Collection("gl")]
public sealed class HazeFillTests(Rendering gl)
{
    private static readonly RenderSettings Small = new() { Width = 160, Height = 90, Linear = true };

    private static Camera Eye() => Scenes.House(3) with { Position = new Vector3(0, -8, 2), Target = new Vector3(0, 4, 3) };

    private static Moment Hall(bool fill, float albedo = 0)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0.03f, 1, 0.7f, Fill: fill);
        b.Add(Scenes.Floor(12, albedo));
        b.Add(Scenes.Box(new Vector3(0, 10, 4), new Vector3(24, 0.2f, 8), albedo));
        b.Add(Scenes.Box(new Vector3(-2, 0, 1.5f), new Vector3(1, 1, 3), albedo));
        b.Add(Scenes.Spot(new Vector3(-3, 4, 7.5f), new Vector3(1, 3, 0), 10000, 16, 22));
        b.Add(Scenes.Spot(new Vector3(5, 7, 7), new Vector3(-4, 2, 2), 6000, 8, 12, new Vector3(1, 0.3f, 0.2f)));
        return b.Build(TimeSpan.Zero);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void The_picture_adds_what_the_cells_hold_along_each_ray(bool tiled)
    {
        var moment = Hall(true);
        var scene = OcclusionScene.From(moment);
        var fill = new HazeFill(HazeFlights.Of(moment, scene)!);
        var cells = fill.Towards(Eye().Position);
        var settings = Small with { Tiled = tiled };
        var frame = gl.Renderer.Render(moment, Eye(), settings);
        PngPicture.Write(Path.Combine(Repo.Out("fill"), $"tiled-{tiled}.png"), frame.Screen!);
        var without = gl.Renderer.Render(Hall(false), Eye(), settings);
        PngPicture.Write(Path.Combine(Repo.Out("fill"), $"without-{tiled}.png"), without.Screen!);
        var (ours, theirs, worst) = (0.0, 0.0, 0.0);
        for (var y = 6; y < Small.Height; y += 9)
        {
            for (var x = 6; x < Small.Width; x += 9)
            {
                var ray = Sight.Ray(Eye(), Small.Width, Small.Height, x, y);
                var far = scene.Closest(Eye().Position, ray, 200, FixtureIndex.None, out var hit) ? hit.Distance : 200;
                var wanted = Along(fill, cells, ray, far);
                var shown = frame.Linear![x, y].X - without.Linear![x, y].X;
                (ours, theirs) = (ours + shown, theirs + wanted);
                worst = Math.Max(worst, Math.Abs(shown - wanted));
            }
        }

        Assert.InRange(ours / theirs, 0.98, 1.02);
        Assert.True(worst < 0.4 * theirs / 160, $"{worst} beside a mean of {theirs / 160}");
    }

    [Fact]
    public void A_dark_part_is_black_without_and_grey_with_it_and_a_moving_sketch_leaves_it_out()
    {
        var (with, without) = (gl.Renderer.Render(Hall(true), Eye(), Small).Screen!, gl.Renderer.Render(Hall(false), Eye(), Small).Screen!);
        var at = 4 * ((20 * Small.Width) + 10);
        Assert.Equal(0, without.Rgba[at]);
        Assert.True(with.Rgba[at] > 5, $"{with.Rgba[at]}");
        var coarse = Small with { Coarse = true, Tiled = false };
        Assert.Equal(gl.Renderer.Render(Hall(false), Eye(), coarse).Screen!.Rgba, gl.Renderer.Render(Hall(true), Eye(), coarse).Screen!.Rgba);
    }

    private static double Along(HazeFill fill, Vector4[] cells, Vector3 ray, float far)
    {
        const int steps = 200;
        var (sum, reach) = (0.0, Math.Min(far, 40));
        var most = new Vector3(fill.Columns, fill.Across, fill.Layers);
        for (var i = 0; i < steps; i++)
        {
            var t = (i + 0.5f) * reach / steps;
            var place = (Eye().Position + (ray * t) - fill.Low) / fill.Cell;
            if (place != Vector3.Clamp(place, Vector3.Zero, most))
            {
                continue;
            }

            var at = Vector3.Clamp(place - new Vector3(0.5f), Vector3.Zero, most - new Vector3(1.001f));
            for (var k = 0; k < 8; k++)
            {
                var (x, y, z) = ((int)at.X + (k & 1), (int)at.Y + ((k >> 1) & 1), (int)at.Z + (k >> 2));
                sum += (1 - Math.Abs(at.X - x)) * (1 - Math.Abs(at.Y - y)) * (1 - Math.Abs(at.Z - z))
                    * cells[(((z * fill.Across) + y) * fill.Columns) + x].X * Math.Exp(-0.03 * t) * reach / steps;
            }
        }

        return sum;
    }
}
