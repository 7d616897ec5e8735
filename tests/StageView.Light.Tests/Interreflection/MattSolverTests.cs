using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Audit;
using StageView.Light.Beams;
using StageView.Light.Interreflection;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Interreflection;

public sealed class MattSolverTests
{
    private static Moment Cube(float reflectance, Action<MomentBuilder>? more = null, Haze? haze = null)
    {
        var b = Rooms.Builder();
        b.Haze = haze ?? Haze.None;
        b.AddBox(2);
        b.Add(Rooms.Lamp(new Vector3(0, 0, 2)));
        more?.Invoke(b);
        return Coloured(b.Build(TimeSpan.Zero), _ => new Vector3(reflectance));
    }

    /// <summary>The moment with its scenery's albedos by place in the list.</summary>
    private static Moment Coloured(Moment moment, Func<int, Vector3> albedo)
    {
        var b = new MomentBuilder { Meshes = moment.Meshes, Haze = moment.Haze, SceneryNames = moment.SceneryNames, MirrorNames = moment.MirrorNames };
        for (var i = 0; i < moment.Scenery.Length; i++)
        {
            b.Add(moment.Scenery.Span[i] with { Albedo = albedo(i) });
        }

        foreach (var beam in moment.Beams.ToArray().Where(x => x.Bounces == 0))
        {
            b.Add(beam);
        }

        return b.Build(moment.Time);
    }

    // The integrating sphere's relation, E = F·p / (S·(1 - p)): analytic case 5.8 of CIE 171:2006. A cube of 4 m, 10,000 lm in its middle.
    [Theory]
    [InlineData(.05, 5.48)]
    [InlineData(.1, 11.57)]
    [InlineData(.2, 26.04)]
    [InlineData(.3, 44.64)]
    [InlineData(.5, 104.2)]
    [InlineData(.8, 416.7)]
    [InlineData(.95, 1979)]
    public void A_closed_cube_has_the_mean_indirect_light_of_the_integrating_sphere(double reflectance, double lux)
    {
        var light = new MattSolver().Solve(Cube((float)reflectance));

        Rooms.Near(lux, MeanInside(light), .004);
        // The meter's own rays, over points of all faces.
        Rooms.Near(lux, MeterOverCube(light, 10), .01);
    }

    /// <summary>Over the sides that a lamp shines on, lx.</summary>
    private static double MeanInside(MattLight light)
    {
        var (sum, area) = (0.0, 0.0);
        for (var i = 0; i < light.Patches.Count; i++)
        {
            if (light.Direct[i] != Vector3.Zero)
            {
                sum += BeamPhotometry.Luminance(light.Indirect[i]) * light.Patches.Areas[i];
                area += light.Patches.Areas[i];
            }
        }

        return sum / area;
    }

    private static double MeterOverCube(MattLight light, int n)
    {
        var meter = new LightMeter(Cube(.5f), null, null, light);
        (Vector3 Centre, Vector3 U, Vector3 V, Vector3 N)[] faces =
        [
            (new(0, 0, 0), Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ), (new(0, 0, 4), Vector3.UnitX, Vector3.UnitY, -Vector3.UnitZ),
            (new(0, 2, 2), Vector3.UnitX, Vector3.UnitZ, -Vector3.UnitY), (new(-2, 0, 2), Vector3.UnitY, Vector3.UnitZ, Vector3.UnitX),
        ];
        var sum = 0.0;
        foreach (var (centre, u, v, normal) in faces)
        {
            for (var k = 0; k < n * n; k++)
            {
                var p = centre + (u * (2 * (((2f * (k % n)) + 1) / n - 1))) + (v * (2 * (((2f * (k / n)) + 1) / n - 1)));
                sum += meter.At(p, normal).Indirect / (n * n * faces.Length);
            }
        }

        return sum;
    }

    /// <summary>Share of what leaves one piece that arrives at another.</summary>
    private static double Exchange(MomentBuilder b, int from, int to)
    {
        var light = new MattSolver().Solve(b.Build(TimeSpan.Zero));
        var (patches, sum, area) = (light.Patches, 0.0, 0.0);
        for (var i = 0; i < patches.Count; i++)
        {
            for (var j = 0; patches.InstanceOf(i).Value == from && j < patches.Count; j++)
            {
                sum += patches.InstanceOf(j).Value == to ? patches.Areas[i] * light.Links.Factor(i, j) : 0;
            }

            area += patches.InstanceOf(i).Value == from ? patches.Areas[i] : 0;
        }

        // Both sides of a plate send; one is turned away.
        return sum / (area / 2);
    }

    // Handbooks of radiative heat transfer (e.g. Howell, A Catalog of Radiation Heat Transfer Configuration Factors, C-11 and C-14).
    [Fact]
    public void Parallel_squares_at_their_side_s_distance()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Plate(Vector3.Zero, 1));
        b.Add(Rooms.Plate(new Vector3(0, 0, 2), 1, new Vector3(180, 0, 0)));

        Rooms.Near(.1998, Exchange(b, 0, 1), .005);
    }

    [Fact]
    public void Squares_that_share_an_edge_at_right_angles()
    {
        var b = Rooms.Builder();
        b.Add(Rooms.Plate(Vector3.Zero, 1));
        b.Add(Rooms.Plate(new Vector3(0, 1, 1), 1, new Vector3(90, 0, 0)));

        Rooms.Near(.2000, Exchange(b, 0, 1), .005);
    }

    private static MomentBuilder Discs(float height)
    {
        const int corners = 256;
        var b = Rooms.Builder();
        var disc = new SceneMesh
        {
            Name = "disc",
            Positions = [Vector3.Zero,
                .. Enumerable.Range(0, corners).Select(i => new Vector3(MathF.Cos(i * MathF.Tau / corners), MathF.Sin(i * MathF.Tau / corners), 0))],
            Normals = [.. Enumerable.Repeat(Vector3.UnitZ, corners + 1)],
            Indices = [.. Enumerable.Range(0, corners).SelectMany(i => (int[])[0, 1 + i, 1 + ((i + 1) % corners)])],
        };
        b.Meshes = [Rooms.Quad, disc];
        b.Add(Rooms.Plate(Vector3.Zero, 1) with { Mesh = new MeshIndex(1) });
        b.Add(Rooms.Plate(new Vector3(0, 0, height), 1, new Vector3(180, 0, 0)) with { Mesh = new MeshIndex(1) });
        return b;
    }

    // F = (X - √(X² - 4)) / 2 with X = 2 + 1/R², R = r/h (the same catalog, C-41).
    [Theory]
    [InlineData(1, .3820)]
    [InlineData(2, .1716)]
    public void Parallel_discs(float height, double factor) => Rooms.Near(factor, Exchange(Discs(height), 0, 1), .005);

    // A patch that faces a disc of exitance M on its axis has E = M·r² / (r² + h²) (Lambert).
    [Theory]
    [InlineData(.5f)]
    [InlineData(1f)]
    [InlineData(3f)]
    public void A_point_on_the_axis_of_a_disc_that_throws_light_back(float height)
    {
        var b = Discs(8);
        var moment = b.Build(TimeSpan.Zero);
        var solver = new MattSolver();
        var dark = solver.Solve(moment);
        // The upper disc's upper side has 1000 lx and throws back half of it; a point over it faces down.
        var direct = Enumerable.Range(0, dark.Patches.Count)
            .Select(i => dark.Patches.Place(i, .5f, .5f, out var n).Z > 7 && n.Z > 0 ? new Vector3(1000) : Vector3.Zero).ToArray();
        var light = MattSolver.Solve(dark.Rays, dark.Links, direct);

        var there = new LightMeter(moment, null, null, light).At(new Vector3(0, 0, 8 + height), -Vector3.UnitZ).Indirect;

        Rooms.Near(500 / (1 + (height * height)), there, .005);
    }

    [Fact]
    public void What_the_sources_send_is_absorbed_or_leaves_to_the_last_lumen()
    {
        var moment = Cube(.6f, b =>
        {
            b.Add(Rooms.Spot(new Vector3(1, -1, 3.5f), new Vector3(-.5f, .5f, 0), 5000, 12, 20));
            b.Add(Rooms.Plate(new Vector3(.5f, .5f, 1), .4f, new Vector3(20, 30, 0)));
        });
        var light = new MattSolver().Solve(moment);
        double absorbed = 0, landed = 0;
        for (var i = 0; i < light.Patches.Count; i++)
        {
            absorbed += .4 * light.Patches.Areas[i] * BeamPhotometry.Luminance(light.Direct[i] + light.Indirect[i]);
            landed += light.Patches.Areas[i] * BeamPhotometry.Luminance(light.Direct[i]);
        }

        Rooms.Near(15000, landed, .003);
        Rooms.Near(15000, absorbed, .005);
    }

    [Fact]
    public void Other_levels_ask_for_no_other_rays_and_add_up()
    {
        var solver = new MattSolver();
        Moment With(float lamp, float spot)
        {
            var b = Rooms.Builder();
            b.AddBox(2);
            b.Add(Rooms.Lamp(new Vector3(0, 0, 2), lamp));
            b.Add(Rooms.Spot(new Vector3(1, -1, 3.5f), Vector3.Zero, spot) with { Colour = new Vector3(2, .5f, .3f) });
            return b.Build(TimeSpan.Zero);
        }

        var one = solver.Solve(With(1000, 0));
        var other = solver.Solve(With(0, 3000));
        var both = solver.Solve(With(1000, 3000));

        Assert.Equal(1, solver.LinksMade);
        for (var i = 0; i < both.Patches.Count; i++)
        {
            Assert.True(Vector3.Distance(one.Indirect[i] + other.Indirect[i], both.Indirect[i]) <= 2e-3f * both.Indirect[i].Length());
        }

        // To the bit as from a solver that saw nothing before.
        Assert.Equal(new MattSolver().Solve(With(1000, 3000)).Indirect.ToArray(), both.Indirect.ToArray());
        solver.Solve(Cube(.3f));
        Assert.Equal(2, solver.LinksMade);
    }

    [Fact]
    public void A_red_wall_reddens_the_floor_beside_it()
    {
        var moment = Coloured(Cube(.5f), i => i == 5 ? new Vector3(.7f, .05f, .05f) : new Vector3(.5f));
        var meter = new LightMeter(moment, OcclusionScene.From(moment), null, new MattSolver().Solve(moment));

        var (near, far) = (meter.At(new Vector3(-1.8f, 0, 0), Vector3.UnitZ), meter.At(new Vector3(1.8f, 0, 0), Vector3.UnitZ));
        var (nearDirect, farDirect) = (meter.FromBeam(new BeamIndex(0), new Vector3(-1.8f, 0, 0), Vector3.UnitZ),
            meter.FromBeam(new BeamIndex(0), new Vector3(1.8f, 0, 0), Vector3.UnitZ));
        var (red, grey) = ((near.Rgb - new Vector3(nearDirect)), far.Rgb - new Vector3(farDirect));

        Assert.True(red.X / red.Y > 1.15f * (grey.X / grey.Y), $"{red} beside {grey}");
    }

    [Fact]
    public void A_wall_keeps_the_light_of_one_room_out_of_the_other()
    {
        var moment = Cube(.5f, b => b.Add(Rooms.Plate(new Vector3(.7f, 0, 2), 2, new Vector3(0, 90, 0))));
        var light = new MattSolver().Solve(moment);
        var meter = new LightMeter(moment, OcclusionScene.From(moment), null, light);

        Assert.True(meter.At(new Vector3(0, .5f, 0), Vector3.UnitZ).Indirect > 50);
        // A patch of floor lies under the wall and on both its sides.
        Assert.InRange(meter.At(new Vector3(1.5f, .5f, 0), Vector3.UnitZ).Indirect, 0, 3);
    }

    [Fact]
    public void A_box_on_the_floor_covers_it_and_is_dark_inside()
    {
        var b = Rooms.Builder();
        b.Meshes = [Rooms.Quad, Rooms.Box("box", 1)];
        b.AddBox(2);
        b.Add(Rooms.Lamp(new Vector3(0, 0, 3)));
        b.Add(Rooms.Plate(new Vector3(.3f, .2f, .4f), 1) with { Mesh = new MeshIndex(1), Scale = new Vector3(1.2f, 1, .8f) });
        var moment = b.Build(TimeSpan.Zero);
        var light = new MattSolver().Solve(moment);
        var floor = Enumerable.Range(0, light.Patches.Count)
            .Where(i => light.Patches.InstanceOf(i).Value == 0 && light.Indirect[i] != Vector3.Zero).Sum(i => light.Patches.Areas[i]);

        Rooms.Near(16 - 1.2, floor, .01);
        Assert.Equal(0, new LightMeter(moment, OcclusionScene.From(moment), null, light).At(new Vector3(.3f, .2f, .3f), Vector3.UnitZ).Indirect);
        var balance = MattBalance.Of(moment, EnergyAudit.Of(moment, OcclusionScene.From(moment)), light);
        Rooms.Near(10000, balance.Landed, .005);
        Assert.InRange(balance.Error, -.005, .005);
    }

    [Fact]
    public void A_mirror_passes_matt_light_on()
    {
        // A wall of a cube as a perfect mirror: the room is twice as long, with twice the lamps.
        var plain = Rooms.Builder();
        plain.AddBox(2);
        plain.Add(Rooms.Lamp(new Vector3(0, 0, 2)));
        plain.AddMirror(new Vector3(1.99f, 0, 2), -Vector3.UnitX, Vector3.UnitZ, 4, 4, 1);
        var light = new MattSolver().Solve(plain.Build(TimeSpan.Zero));
        // All other walls throw back half: the mean over the 5 walls is F·p / (S·(1 - p)).
        Rooms.Near(10000 * .5 / (80 * .5), MeanInside(light), .02);
    }

    [Fact]
    public void What_landed_is_absorbed_taken_by_mirrors_and_haze_or_leaves_the_room()
    {
        // A room without its wall at +x (a mirror stands in a part of it), in haze.
        var b = Rooms.Builder();
        b.Haze = new Haze(.04f, 1, .6f);
        b.AddBox(2);
        var room = b.Build(TimeSpan.Zero);
        var open = Rooms.Builder();
        open.Haze = b.Haze;
        foreach (var plate in room.Scenery.ToArray().Where((_, i) => i != 4))
        {
            open.Add(plate);
        }

        open.AddMirror(new Vector3(1.9f, .8f, 2), -Vector3.UnitX, Vector3.UnitZ, 2, 3, .7f);
        open.Add(Rooms.Lamp(new Vector3(0, 0, 2)));
        open.Add(Rooms.Spot(new Vector3(0, 0, 3.5f), new Vector3(-1, -1, 0), 4000));
        var moment = open.Build(TimeSpan.Zero);

        var balance = MattBalance.Of(moment, EnergyAudit.Of(moment, OcclusionScene.From(moment)), new MattSolver().Solve(moment));

        Assert.InRange(balance.Error, -.005, .005);
        Assert.All([balance.Absorbed, balance.Mirrors, balance.Haze, balance.Escaped], part => Assert.True(part > .01 * balance.Landed, $"{balance}"));
    }

    [Fact]
    public void Haze_takes_its_share_between_walls_too()
    {
        var clear = MeanInside(new MattSolver().Solve(Cube(.5f)));
        var haze = new Haze(.05f, 1, .6f);
        var solver = new MattSolver();

        Assert.InRange(MeanInside(solver.Solve(Cube(.5f, null, haze))) / clear, .6, .85);
        Rooms.Near(clear, MeanInside(solver.Solve(Cube(.5f, null, haze), throughHaze: false)), 1e-4);
    }
}
