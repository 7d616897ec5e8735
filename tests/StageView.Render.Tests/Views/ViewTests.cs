using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Output;
using StageView.Render.Plans;
using StageView.Render.Scenery;
using StageView.Render.Settings;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render.Tests.Views;

/// <summary>What is worked out for a frame's views before any is drawn.</summary>
[Collection("gl")]
public sealed class ViewTests(Rendering gl)
{
    private const int Width = 320;
    private const int Height = 180;

    /// <summary>Panels that lean every way, as seen from the house; a view into each.</summary>
    internal static Moment Panels(int across, int up)
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(0, 2, 1), new Vector3(1, 1, 2)));
        for (var i = 0; i < across * up; i++)
        {
            var (x, z) = (i % across, i / across);
            var normal = Vector3.Normalize(new Vector3(0.3f * MathF.Sin(i * 2.1f), -1, 0.25f * MathF.Cos(i * 1.7f)));
            var right = Vector3.Normalize(Vector3.Cross(Vector3.UnitZ, normal));
            b.AddMirror(new Vector3(1.6f * (x - ((across - 1) / 2f)), 9, 2 + (1.6f * z)), normal, Vector3.Cross(normal, right), 1.5f, 1.5f);
        }

        for (var i = 0; i < 5; i++)
        {
            b.Add(Scenes.Spot(new Vector3(-4 + (2 * i), -3, 6), new Vector3(-3 + (1.5f * i), 9, 3), 20000, 16, 24));
        }

        return b.Build(TimeSpan.Zero);
    }

    [Fact]
    public void Views_side_by_side_share_no_tile_and_none_is_left_out()
    {
        var views = new List<ViewPlan>();
        var random = new Random(5);
        for (var i = 0; i < 200; i++)
        {
            var (x, y) = (random.Next(1200), random.Next(680));
            var plan = new ViewPlan();
            plan.Begin(View.Of(Scenes.House(), 1280, 720).Mirrored(Vector3.Zero, Vector3.UnitY, default,
                (x, y, random.Next(1, 1280 - x), random.Next(1, 720 - y) / 4 + 1)), i, 1, coarse: false);
            views.Add(plan);
        }

        var batches = ViewPlans.SideBySide(views);
        Assert.Equal(views.Select(v => v.Number), batches.SelectMany(b => b).Select(v => v.Number).Order());
        Assert.InRange(batches.Count, 2, 150);
        foreach (var batch in batches)
        {
            var taken = new HashSet<(int, int)>();
            foreach (var plan in batch)
            {
                var (x, y, width, height) = plan.View.Around(plan.Reach);
                for (var ty = y / TileGrid.Side; ty <= (y + height - 1) / TileGrid.Side; ty++)
                {
                    for (var tx = x / TileGrid.Side; tx <= (x + width - 1) / TileGrid.Side; tx++)
                    {
                        Assert.True(taken.Add((tx, ty)), $"view {plan.Number} shares tile {tx}, {ty}");
                    }
                }
            }
        }
    }

    // Each corner of each box projected by hand: a box with a corner in the area, before the mirror, has to be kept.
    [Fact]
    public void Scenery_with_a_corner_in_a_mirrors_area_is_kept_and_most_of_the_rest_is_not()
    {
        var b = Scenes.Builder();
        b.Begin();
        var random = new Random(11);
        for (var i = 0; i < 400; i++)
        {
            float Next() => (random.NextSingle() - 0.5f) * 40;
            b.Add(Scenes.Box(new Vector3(Next(), Next(), Next()), new Vector3(1, 0.5f, 2)));
        }

        var moment = b.Build(TimeSpan.Zero);
        var face = new Vector4(0, -1, 0, 9);
        var view = View.Of(Scenes.House(), Width, Height).Mirrored(new Vector3(0, 9, 0), -Vector3.UnitY, face, (120, 60, 60, 50));
        var (all, seen) = (new SceneryRows(), new SceneryInView());
        gl.Renderer.Render(moment, Scenes.House(), new RenderSettings { Width = 64, Height = 36 });
        var meshes = gl.Renderer.Meshes;
        using var matt = new MattStore(gl.Renderer.Context.Gl);
        all.Fill(moment, meshes, matt);
        seen.Fill(all, view, parts: false);
        var kept = seen.Rows.ToArray().ToHashSet();
        var corners = 0;
        foreach (var rows in all.Rows)
        {
            for (var i = 0; i < 8; i++)
            {
                var p = rows.Transform(new Vector3((i & 1) == 0 ? -1 : 1, (i & 2) == 0 ? -1 : 1, (i & 4) == 0 ? -1 : 1));
                var (pixel, w) = view.Project(p);
                if (w > 0 && pixel.X is > 120 and < 180 && pixel.Y is > 60 and < 110 && Vector4.Dot(face, new Vector4(p, 1)) > 0)
                {
                    corners++;
                    Assert.Contains(rows, kept);
                }
            }
        }

        Assert.True(corners > 20, $"only {corners} corners fell into the area");
        Assert.InRange(kept.Count, 5, 200);
        Assert.Equal(kept.Count, seen.Runs.Sum(r => r.Count));
    }

    // Corners and balls' middles projected by hand, as above.
    [Fact]
    public void Hulls_and_lenses_that_reach_into_a_mirrors_area_are_kept_and_most_of_the_rest_is_not()
    {
        var random = new Random(12);
        var face = new Vector4(0, -1, 0, 9);
        var view = View.Of(Scenes.House(), Width, Height).Mirrored(new Vector3(0, 9, 0), -Vector3.UnitY, face, (120, 60, 60, 50));
        var seen = new ViewVolume(view);
        bool Shown(Vector3 p) => view.Project(p) is ({ X: > 120 and < 180, Y: > 60 and < 110 }, > View.Near) && Vector4.Dot(face, new Vector4(p, 1)) > 0;
        var (needed, kept, balls) = (0, 0, 0);
        for (var i = 0; i < 4000; i++)
        {
            float Next(float range) => (random.NextSingle() - 0.5f) * range;
            var middle = new Vector3(Next(40), Next(40), Next(40));
            var corners = Enumerable.Range(0, 12).Select(_ => middle + new Vector3(Next(4), Next(4), Next(4))).ToArray();
            var hull = seen.MayHold(corners);
            kept += hull ? 1 : 0;
            if (corners.Any(Shown))
            {
                needed++;
                Assert.True(hull);
            }

            if (Shown(middle))
            {
                balls++;
                Assert.True(seen.MayHold(middle, 0));
            }

            Assert.True(seen.MayHold(middle, 3.5f) || !hull, "a ball around a hull is larger than the hull");
        }

        Assert.InRange(needed, 100, 1000);
        Assert.InRange(kept, needed, 3 * needed);
        Assert.True(balls > 20);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Coarse_haze_in_a_mirror_does_not_depend_on_what_was_drawn_before(bool tiled)
    {
        Assert.SkipWhen(tiled && gl.Renderer.Context.Version < 43, "compute needs OpenGL 4.3");
        var settings = new RenderSettings { Width = Width, Height = Height, Linear = true, Quality = RenderQuality.Draft, Tiled = tiled };
        var moment = Panels(5, 2);
        var first = gl.Renderer.Render(moment, Scenes.House(), settings);
        gl.Renderer.Render(Scenes.Large(30, 2000), Scenes.House() with { Position = new Vector3(0, -6, 3) }, settings with { MirrorDepth = 2 });
        var again = gl.Renderer.Render(moment, Scenes.House(), settings);
        Assert.Equal(first.Linear!.Rgb, again.Linear!.Rgb);
    }

    // The angle between a ball's middle and the axis, less the ball's own, against the cone's: by the inverse functions.
    [Fact]
    public void A_ball_reaches_into_a_cone_when_its_angle_says_so()
    {
        var random = new Random(3);
        var (inside, outside) = (0, 0);
        for (var i = 0; i < 20_000; i++)
        {
            float Next() => (random.NextSingle() - 0.5f) * 20;
            var to = new Vector3(Next(), Next(), Next());
            var axis = Vector3.Normalize(new Vector3(Next(), Next(), Next()));
            var (radius, half) = (random.NextSingle() * 3, 0.01 + (random.NextDouble() * 1.54));
            var distance = (double)to.Length();
            var off = Math.Acos(Math.Clamp(Vector3.Dot(to, axis) / distance, -1, 1)) - (distance > radius ? Math.Asin(radius / distance) : Math.PI);
            if (Math.Abs(off - half) < 1e-3)
            {
                continue;
            }

            var reaches = BeamPyramid.InCone(to, axis, radius, (float)Math.Cos(half), (float)Math.Sin(half));
            Assert.Equal(off < half, reaches);
            (inside, outside) = (inside + (reaches ? 1 : 0), outside + (reaches ? 0 : 1));
        }

        Assert.True(inside > 2000 && outside > 2000);
    }

    [Fact]
    public void A_draft_leaves_the_shadow_tiles_of_the_full_picture_alone()
    {
        var moment = Scenes.Large(20, 100);
        var settings = new RenderSettings { Width = 160, Height = 90 };
        gl.Renderer.Render(moment, Scenes.House(), settings);
        gl.Renderer.Render(moment, Scenes.House(), settings with { Quality = RenderQuality.Draft });
        gl.Renderer.Render(moment, Scenes.House(), settings);
        Assert.Equal(0, gl.Renderer.ShadowTilesDrawn);
        gl.Renderer.Render(moment, Scenes.House(), settings with { Quality = RenderQuality.Draft });
        Assert.Equal(0, gl.Renderer.ShadowTilesDrawn);
    }

    [Fact]
    public void A_sheets_ghost_does_not_depend_on_what_was_drawn_before()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Floor());
        // A thick sheet close by: the ghost of its edge lies far beside it.
        b.AddMirror(new Vector3(0, 0.4f, 1.7f), Vector3.Normalize(new Vector3(0.5f, -1, 0)), Vector3.UnitZ, 0.05f, 0.05f, sheet: 0.02f, index: 1.52f);
        b.Add(Scenes.Box(new Vector3(0.4f, 0.1f, 1.7f), new Vector3(0.2f, 0.2f, 0.4f)));
        b.Add(Scenes.Spot(new Vector3(-1, -0.2f, 2.5f), new Vector3(0.35f, 0.1f, 1.7f), 20000, 40, 50));
        var moment = b.Build(TimeSpan.Zero);
        var close = Scenes.House() with { Position = new Vector3(0, 0, 1.7f), Target = new Vector3(0, 1, 1.7f), VerticalFieldRadians = Angles.Radians(12) };
        var settings = new RenderSettings { Width = 1280, Height = 720, Linear = true, Tiled = false };
        var first = gl.Renderer.Render(moment, close, settings);
        gl.Renderer.Render(Scenes.Large(10, 500), Scenes.House() with { Position = new Vector3(4, 4, 4), Target = new Vector3(5, 9, 4) }, settings);
        var again = gl.Renderer.Render(moment, close, settings);
        Assert.Equal(first.Linear!.Rgb, again.Linear!.Rgb);
        Assert.True(first.Linear.LuminanceAt(640, 360) > 0);
        PngPicture.Write(Path.Combine(Repo.Out("views"), "sheet.png"), first.Screen!);
    }

    [Fact]
    public void Scenery_of_a_mesh_that_is_not_there_is_left_out()
    {
        var b = Scenes.Builder();
        b.Begin();
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(Vector3.UnitZ, Vector3.One) with { Mesh = new MeshIndex(7) });
        b.Add(Scenes.Spot(new Vector3(0, 0, 6), Vector3.Zero));
        var frame = gl.Renderer.Render(b.Build(TimeSpan.Zero), Scenes.House(), new RenderSettings { Width = 64, Height = 36, Linear = true });
        Assert.True(frame.Linear!.Rgb.Max() > 0);
    }

    /// <summary>Beams are looked at some at a time, by several threads: what ends each, and stands in it, is what one alone finds.</summary>
    [Fact]
    public void What_stops_a_beam_does_not_depend_on_the_others()
    {
        var moment = Scenes.Large(60, 100);
        gl.Renderer.Render(moment, Scenes.House(), new RenderSettings { Width = 64, Height = 36 });
        var stops = new BeamStops();
        stops.Fill(moment, gl.Renderer.Meshes);
        Assert.Equal(moment.Beams.Length, stops.Shapes.Length);
        var (shadowed, ended) = (0, 0);
        for (var i = 0; i < moment.Beams.Length; i++)
        {
            var alone = new StopFinder(stops.Occluders);
            alone.Find(moment, i, i + 1);
            var (found, single) = (stops.Shapes[i].Stop, alone.Shapes[0].Stop);
            Assert.Equal(single.Plane, found.Plane);
            Assert.Equal(single.ClearTo, found.ClearTo);
            Assert.Equal(alone.Casters.ToArray(), stops.CastersOf(found).ToArray());
            (shadowed, ended) = (shadowed + (found.Shadowed ? 1 : 0), ended + (found.Plane != Vector4.Zero ? 1 : 0));
        }

        Assert.True(shadowed > 20 && ended > 20, $"{shadowed} beams with something in them, {ended} that end at a plane");
    }

    /// <summary>A black sheet under a lit floor's light: seen from below alone, it is looked through from above and shades the floor all the same.</summary>
    [Fact]
    public void What_is_seen_from_one_side_alone_is_looked_through_from_the_other_and_blocks_light()
    {
        var (open, closed, oneSided) = (Look(null, 6), Look(System.Numerics.Vector3.Zero, 6), Look(-System.Numerics.Vector3.UnitZ, 6));
        Assert.True(open > .05f, $"{open}");
        Assert.InRange(closed, 0, .02f * open);

        // The floor is seen and lies in the sheet's shadow; beside the shadow it is as bright as without the sheet.
        Assert.InRange(oneSided, 0, .02f * open);
        Assert.InRange(Look(-System.Numerics.Vector3.UnitZ, 6, beside: true) / Look(null, 6, beside: true), .98f, 1.02f);
        Assert.InRange(Look(System.Numerics.Vector3.Zero, 6, beside: true), 0, .02f * open);

        float Look(System.Numerics.Vector3? seenFrom, float height, bool beside = false)
        {
            var b = Scenes.Builder();
            b.Begin();
            b.Haze = new Haze(0, 1, 0);
            b.Add(Scenes.Floor());
            if (seenFrom is { } side)
            {
                b.Add(Scenes.Floor(2, 0) with { Pose = Pose.At(0, 0, 3), SeenFrom = side });
            }

            // From the right, so that the sheet's shadow falls to the left: its own place below stays lit.
            b.Add(Scenes.Spot(beside ? new Vector3(20, 0, 3.5f) : new Vector3(0, 0, 8), Vector3.Zero, 20000, 30, 40));
            var moment = b.Build(TimeSpan.Zero);
            var camera = Scenes.House() with { Position = new Vector3(0, 0, height), Target = Vector3.Zero, Up = Vector3.UnitY, VerticalFieldRadians = .2f };
            var picture = gl.Renderer.Render(moment, camera, new RenderSettings { Width = 32, Height = 32, Linear = true }).Linear!;
            return picture[16, 16].X;
        }
    }
}
