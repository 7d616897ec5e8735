using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Light.Unfolding;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Render.Stops;

namespace StageView.Render.Tests.Shadows;

[Collection("gl")]
public sealed class ShadowTests(Rendering gl, ITestOutputHelper output)
{
    private static readonly RenderSettings Settings = new() { Width = 480, Height = 270, Linear = true };

    /// <summary>A figure, a set piece, a wall and a mirror.</summary>
    private static MomentBuilder Furnished(Haze haze)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = haze;
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(0, 3, 0.9f), new Vector3(0.6f, 0.4f, 1.8f), kind: SceneryKind.Person));
        b.Add(Scenes.Box(new Vector3(-4, 4, 1.5f), new Vector3(1, 1, 3)));
        b.Add(Scenes.Box(new Vector3(4, 8, 3), new Vector3(6, 0.1f, 6)));
        b.AddMirror(new Vector3(-5, 9, 3), Vector3.Normalize(new Vector3(0.35f, -1, 0)), Vector3.UnitZ, 6, 5);
        return b;
    }

    /// <summary>The room in four beams.</summary>
    internal static Moment Room(Haze haze)
    {
        var b = Furnished(haze);
        b.Add(Scenes.Spot(new Vector3(0, -3, 7), new Vector3(0, 3.5f, 0.5f), 20000, 20, 24));
        b.Add(Scenes.Spot(new Vector3(-6, 1, 7), new Vector3(-4, 4.2f, 1), 20000, 20, 24, new Vector3(1, 0.4f, 0.2f)));
        b.Add(Scenes.Spot(new Vector3(3, 0, 7), new Vector3(5, 9, 3), 20000, 14, 24, new Vector3(0.2f, 0.4f, 1)));
        b.Add(Scenes.Spot(new Vector3(2, 0, 6), new Vector3(-5, 9, 3), 20000, 14, 18, new Vector3(0.2f, 1, 0.4f)));
        return b.Build(TimeSpan.Zero);
    }

    /// <summary>The room about two lamps that shine all round.</summary>
    internal static Moment LampRoom(Haze haze)
    {
        var b = Furnished(haze);
        foreach (var at in new Vector3[] { new(1.5f, 1, 4), new(-2, 5, 3) })
        {
            b.Add(Scenes.Spot(at, at - Vector3.UnitZ, 20000) with { Profile = AngularProfile.Omnidirectional, StartDistance = 0.15f });
        }

        return b.Build(TimeSpan.Zero);
    }

    [Theory]
    [InlineData("spots")]
    [InlineData("lamps")]
    public void Shadows_fall_on_the_floor_where_Light_says_within_a_pixel(string what)
    {
        var moment = what == "spots" ? Room(new Haze(0, 1, 0)) : LampRoom(new Haze(0, 1, 0));
        var camera = Scenes.House();
        var frame = gl.Renderer.Render(moment, camera, Settings);
        PngPicture.Write(Path.Combine(Repo.Out("shadow"), $"floor-{what}.png"), frame.Screen!);
        var picture = frame.Linear!;
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var expected = new float[picture.Width, picture.Height];
        var floor = new bool[picture.Width, picture.Height];
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++)
            {
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                if (d.Z > -0.01f || !scene.Closest(camera.Position, d, 100, FixtureIndex.None, out var hit) || MathF.Abs(hit.Point.Z) > 1e-3f
                    || hit.Point.Length() > 19)
                {
                    continue;
                }

                floor[x, y] = true;
                expected[x, y] = meter.At(hit.Point, Vector3.UnitZ).Lux * 0.3f / MathF.PI;
            }
        }

        var (checkedPixels, shadowed) = (0, 0);
        for (var y = 1; y < picture.Height - 1; y++)
        {
            for (var x = 1; x < picture.Width - 1; x++)
            {
                // A pixel must lie between the darkest and the brightest of its neighbours in Light's picture: an edge a pixel off passes, two fail.
                var (low, high, whole) = (float.MaxValue, 0f, true);
                for (var k = 0; k < 9; k++)
                {
                    var (i, j) = (x - 1 + (k % 3), y - 1 + (k / 3));
                    whole &= floor[i, j];
                    low = MathF.Min(low, expected[i, j]);
                    high = MathF.Max(high, expected[i, j]);
                }

                if (whole)
                {
                    checkedPixels++;
                    shadowed += high > 4 * (low + 0.1f) ? 1 : 0;
                    var l = picture.LuminanceAt(x, y);
                    Assert.True(l >= (0.98f * low) - 0.01f && l <= (1.02f * high) + 0.01f, $"pixel {x},{y}: {l} lies outside {low} to {high} cd/m²");
                }
            }
        }

        output.WriteLine($"{checkedPixels} floor pixels, {shadowed} at an edge");
        Assert.True(checkedPixels > 20_000 && shadowed > 200);
    }

    // The wall ends the beam at its own plane; a box on the wall's far side makes the beam look for shadows from there on, so that most of the spot lies
    // before that. No pixel of it is dark where the inverse square and cosine laws have light.
    [Theory]
    [InlineData(5, 30)]
    [InlineData(12, 25)]
    [InlineData(20, 40)]
    [InlineData(27, 20)]
    [InlineData(33, 60)]
    [InlineData(95, 50)]
    public void A_wall_that_ends_a_beam_is_lit_without_holes(float metres, float degrees)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = new Haze(0, 1, 0);
        var (sin, cos) = MathF.SinCos(degrees * MathF.PI / 360);
        b.Add(Scenes.Box(new Vector3(0, metres + 0.05f, 3), new Vector3(60, 0.1f, 6)) with
        {
            Pose = new Pose(new Vector3(0, metres, 3), new Quaternion(0, 0, sin, cos)),
        });
        // Where the beam's rim meets the wall on its far side: a little before it.
        var rim = 0.04f * metres;
        b.Add(Scenes.Box(new Vector3(rim, metres + (rim * MathF.Tan(degrees * MathF.PI / 180)), 3), new Vector3(0.02f, 0.2f * rim, 0.02f)));
        b.Add(Scenes.Spot(new Vector3(0, 0, 3), new Vector3(0, metres, 3), 20000, 5, 6));
        var moment = b.Build(TimeSpan.Zero);
        var camera = Scenes.House() with { Position = new Vector3(-0.4f, 0, 3.1f), Target = new Vector3(0, metres, 3), VerticalFieldRadians = 0.1f };
        var picture = gl.Renderer.Render(moment, camera, Settings).Linear!;
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var lit = 0;
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++)
            {
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                if (scene.Closest(camera.Position, d, 500, FixtureIndex.None, out var hit)
                    && Vector3.Dot(Vector3.Normalize(hit.Point - new Vector3(0, 0, 3)), Vector3.UnitY) > MathF.Cos(0.035f) && hit.Point.X < 0.02f * metres)
                {
                    var expected = meter.At(hit.Point, hit.Normal).Lux * 0.4f / MathF.PI;
                    Assert.InRange(picture.LuminanceAt(x, y), 0.95f * expected, 1.05f * expected);
                    lit++;
                }
            }
        }

        Assert.True(lit > 5000, $"{lit} pixels of the spot");
    }

    // Lamps that shine all round cast theirs in the haze at Fine only.
    [Theory]
    [InlineData("spots", RenderQuality.Normal)]
    [InlineData("lamps", RenderQuality.Fine)]
    public void Shadows_in_the_haze_are_those_of_the_reference(string what, RenderQuality quality)
    {
        var moment = what == "spots" ? Room(Scenes.Air) : LampRoom(Scenes.Air);
        var camera = Scenes.House();
        var frame = gl.Renderer.Render(moment, camera, Settings with { Quality = quality });
        PngPicture.Write(Path.Combine(Repo.Out("shadow"), $"haze-{what}.png"), frame.Screen!);
        var scene = OcclusionScene.From(moment);
        var reference = new ReferenceRadiance(moment, scene, 1e-3);
        var random = new Random(3);
        var errors = new List<double>();
        for (var tries = 0; errors.Count < 300 && tries < 20_000; tries++)
        {
            var (x, y) = (random.Next(480), random.Next(270));
            var d = Sight.Ray(camera, 480, 270, x, y);
            if (scene.Closest(camera.Position, d, 900, FixtureIndex.None, out _))
            {
                continue;
            }

            var expected = BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900));
            if (expected > 1e-2f)
            {
                errors.Add(Math.Abs((frame.Linear!.LuminanceAt(x, y) / expected) - 1));
            }
        }

        errors.Sort();
        output.WriteLine($"{errors.Count} rays: p50 {errors[errors.Count / 2]:P3}, p95 {errors[errors.Count * 95 / 100]:P3}, max {errors[^1]:P2}");
        Assert.True(errors.Count > 200);
        Assert.True(errors[errors.Count / 2] < 0.01);
        Assert.True(errors[errors.Count * 95 / 100] < 0.04);
    }

    [Fact]
    public void Nothing_shines_through_a_wall_or_a_mirror()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(-4, 4, 3), new Vector3(3, 0.2f, 6)));
        b.AddMirror(new Vector3(4, 4, 3), -Vector3.UnitY, Vector3.UnitZ, 3, 6);
        b.Add(Scenes.Spot(new Vector3(-4, 0, 6), new Vector3(-4, 6, 1), 20000, 10, 14));
        b.Add(Scenes.Spot(new Vector3(4, 0, 6), new Vector3(4, 6, 1), 20000, 10, 14));
        var camera = new Camera { Name = "behind", Position = new Vector3(0, 18, 2), Target = new Vector3(0, 4, 2), Ev100 = 5 };
        var frame = gl.Renderer.Render(b.Build(TimeSpan.Zero), camera, Settings);
        PngPicture.Write(Path.Combine(Repo.Out("shadow"), "behind.png"), frame.Screen!);
        // Between wall and camera, below the tops of both, all must be dark.
        foreach (var x in new[] { -4f, 4f })
        {
            for (var z = 0.2f; z < 3; z += 0.2f)
            {
                var p = Sight.Pixel(camera, 480, 270, new Vector3(x, 4.2f, z));
                Assert.True(frame.Linear!.LuminanceAt((int)p.X, (int)p.Y) < 1e-3f, $"light at {x}, {z}: {frame.Linear!.LuminanceAt((int)p.X, (int)p.Y)}");
            }
        }
    }

    // A pyramid straight down from 7 m with sides at 45 degrees, boxes of 1 m by hand: one under it begins at its top, one at its side where the side meets it.
    [Theory]
    [InlineData(0, 2.5f, 4)]
    [InlineData(4.8f, 2.5f, 4.3f)]
    [InlineData(6.5f, 1.5f, 6)]
    [InlineData(9, 2.5f, float.PositiveInfinity)]
    [InlineData(0, 7, 0)]
    public void What_stands_in_a_pyramid_is_found_at_its_nearest_distance(float x, float z, float expected)
    {
        var beam = Scenes.Spot(new Vector3(0, 0, 7), Vector3.Zero);
        Vector3[] rays = [new(1, 1, -1), new(1, -1, -1), new(-1, -1, -1), new(-1, 1, -1)];
        var corners = new Vector3[8];
        for (var i = 0; i < 8; i++)
        {
            corners[i] = new Vector3(x, 0, z) + new Vector3((i & 1) == 0 ? -0.5f : 0.5f, (i & 2) == 0 ? -0.5f : 0.5f, (i & 4) == 0 ? -0.5f : 0.5f);
        }

        var inward = Vector3.Dot(Vector3.Cross(rays[0], rays[1]), -Vector3.UnitZ) > 0;
        var ring = inward ? rays : [.. rays.Reverse()];
        var sides = ring.Select((r, i) => HalfSpace.Through(Vector3.Cross(r, ring[(i + 1) % 4]), beam.Apex)).ToArray();
        Assert.Equal(expected, new PyramidCut().Nearest(beam, corners, sides), 1e-4f);
    }

    [Fact]
    public void A_tile_whose_beam_stands_still_is_not_drawn_again()
    {
        var moment = Room(Scenes.Air);
        var first = gl.Renderer.Render(moment, Scenes.House(), Settings);
        var other = gl.Renderer.Render(Scenes.Stage(20), Scenes.House(), Settings);
        var again = gl.Renderer.Render(moment, Scenes.House(), Settings);
        var cached = gl.Renderer.Render(moment, Scenes.House(), Settings);
        Assert.Equal(0, gl.Renderer.ShadowTilesDrawn);
        Assert.Equal(first.Linear!.Rgb, again.Linear!.Rgb);
        Assert.Equal(first.Linear!.Rgb, cached.Linear!.Rgb);
        Assert.NotEqual(first.Linear!.Rgb, other.Linear!.Rgb);
    }
}
