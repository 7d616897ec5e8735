using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Aim;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Stage;
using StageView.Stage.Heads;
using StageView.Stage.Levels;

namespace StageView.Show.Tests.Questions;

/// <summary>Solved DMX values (16 bit) fed back through the stage: where the beam really goes.</summary>
public sealed class AimRoundTripTests
{
    private static readonly string Room = $$"""
        {
          "name": "round trip", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "bounces": 1,
          "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0.4, -0.3, 6], "rotate": [4, -3, 20], "patch": "1.1" }],
          "mirrors": [{ "name": "wall", "at": [0, 8, 4], "size": [16, 12], "surface": { "reflectance": 0.9, "sheet": 0.003, "index": 1.49 } }],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        }
        """;

    private static float Unit(Random r) => ((float)r.NextDouble() * 2) - 1;

    private static (RigScene Rig, Fixture Head) Load(TempFolder folder)
    {
        var rig = RigFiles.Open(folder.File("room.rig.jsonc", Room));
        return (rig, rig.Fixtures[0]);
    }

    // 5 mm at 15 m for 10,000 random targets each way, straight and by the mirror. One step of 16 bits over 540° is 0.008°: half of it is
    // 1.1 mm at 15 m, so two axes leave about 2 mm.
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Solved_values_land_within_five_millimetres_at_fifteen_metres(bool bounced)
    {
        using var folder = new TempFolder();
        var (rig, head) = Load(folder);
        var levels = new LevelsEncoder(rig);
        Assert.True(levels.TrySet(head, "Dimmer", 1, out var why), why);
        levels.TrySet(head, "Shutter1", 1, out _);
        var still = new StageModel(rig).MomentAt(TimeSpan.Zero);
        var lens = PanTilt.Beam(head, 0, 0)!.Value.Position;
        var stage = new StageModel(rig, keepHistory: false);
        var random = new Random(bounced ? 12 : 11);
        var (solved, worst, time) = (0, 0f, 0.0);
        var meets = new Vector3[1];
        for (var tries = 0; solved < 10_000; tries++)
        {
            Assert.True(tries < 500_000, $"only {solved} targets can be reached");
            var direction = Vector3.Normalize(new Vector3(Unit(random), Unit(random), Unit(random)));
            var target = lens + (direction * (4 + (11 * (float)random.NextDouble())));
            var image = target;
            if (bounced)
            {
                // Length over the mirror kept to 15 m too.
                target = target with { Y = MathF.Min(target.Y, 7) };
                if (!MirrorAim.TryPath(still, lens, target, [new MirrorIndex(0)], meets, out _))
                {
                    continue;
                }

                image = MirrorAim.ImageOfTarget(still, lens, target, [new MirrorIndex(0)]);
                if (Vector3.Distance(lens, image) > 15)
                {
                    continue;
                }
            }

            var ways = PanTilt.Aim(head, image);
            if (ways.Count == 0)
            {
                continue;
            }

            solved++;
            Assert.True(levels.TrySet(head, "Pan", ways[0].PanDegrees, out why), why);
            Assert.True(levels.TrySet(head, "Tilt", ways[0].TiltDegrees, out why), why);
            levels.SendTo(stage, TimeSpan.FromSeconds(time));
            time += 20;
            var moment = stage.MomentAt(TimeSpan.FromSeconds(time));
            var beams = moment.Beams.ToArray();
            var beam = beams.Where(b => b.Bounces == (bounced ? 1 : 0)).ToArray();
            Assert.True(beam.Length == 1, $"{beams.Length} beams for {target}");
            var miss = Vector3.Cross(target - beam[0].Apex, beam[0].Axis).Length();
            worst = MathF.Max(worst, miss);
            Assert.True(miss < 0.005f, $"{1000 * miss} mm beside {target}, pan {ways[0].PanDegrees}, tilt {ways[0].TiltDegrees}");
        }

        Assert.True(worst > 1e-4f, "steps of 16 bits can't vanish: the values weren't used");
    }

    [Fact]
    public void The_solver_names_all_ways_the_shortest_first_and_says_why_not()
    {
        using var folder = new TempFolder();
        var (rig, head) = Load(folder);
        var solver = new AimSolver(rig, new LevelsEncoder(rig));
        var straight = solver.Solve(head, new Vector3(2, 4, 0), []);
        Assert.True(straight.Solutions.Count >= 2);
        Assert.True(straight.Solutions[0].MoveDegrees <= straight.Solutions[^1].MoveDegrees);
        Assert.All(straight.Solutions, s => Assert.InRange(s.MissMetres, 0, 0.003f));
        var bounced = solver.Solve(head, new Vector3(2, -4, 0), ["wall"]);
        Assert.NotEmpty(bounced.Solutions);
        Assert.All(bounced.Solutions, s => Assert.InRange(s.MissMetres, 0, 0.005f));
        // Near enough to the wall, the way meets its plane next to the target: at x = 40, 32 m beside the wall's edge at x = 8.
        var missed = solver.Solve(head, new Vector3(40, 7.999f, 4), ["wall"]).Why;
        Assert.Contains("misses the outline", missed, StringComparison.Ordinal);
        Assert.Contains("nearest is wall, 3", missed, StringComparison.Ordinal);
        Assert.Contains("begins with door", solver.Solve(head, new Vector3(2, -4, 0), ["door"]).Why, StringComparison.Ordinal);
        Assert.Contains("wall is in the way", solver.Solve(head, new Vector3(0, 12, 4), []).Why, StringComparison.Ordinal);
    }

    // A head, two mirrors that turn and two that don't; every way is checked by the law of reflection alone: the levels that came out are
    // fed to the stage and the beam it makes must pass the target.
    private static readonly string Turners = $$"""
        {
          "name": "turners", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "bounces": 4,
          "hangs": [
            { "name": "head", "profile": "spot-head", "number": 1, "at": [0, -2, 7], "patch": "1.1" },
            { "name": "second head", "profile": "spot-head", "number": 2, "at": [2, -2, 7], "patch": "1.101" },
            { "name": "turner", "profile": "mirror-panel", "number": 11, "at": [-3, 2, 6], "patch": "1.201" },
            { "name": "other turner", "profile": "mirror-panel", "number": 12, "at": [4, 3, 6], "patch": "1.301" }
          ],
          "mirrors": [
            { "name": "rear", "at": [0, 8, 4], "size": [16, 8], "surface": { "reflectance": 0.9, "sheet": 0.003, "index": 1.49 } },
            { "name": "front", "at": [0, -9, 5], "size": [16, 8], "rotate": [0, 0, 180], "surface": { "reflectance": 0.9 } }
          ],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
        }
        """;

    [Theory]
    [InlineData("turner")]
    [InlineData("other")]
    [InlineData("turner > other")]
    [InlineData("other > turner")]
    [InlineData("turner > rear")]
    [InlineData("rear > turner")]
    [InlineData("rear > other > front")]
    [InlineData("turner > rear > other")]
    public void Turning_and_fixed_mirrors_in_any_order_bring_the_beam_to_the_target(string way)
    {
        var via = way.Split(" > ");
        using var folder = new TempFolder();
        var rig = RigFiles.Open(folder.File("turners.rig.jsonc", Turners));
        var target = new Vector3(1.5f, -3, 0.5f);
        var levels = new LevelsEncoder(rig);
        var result = new AimSolver(rig, levels).Solve(rig.Fixtures[0], target, via);
        Assert.True(result.Solutions.Count > 0, result.Why);
        Assert.Equal(via.Count(v => v is "turner" or "other"), result.Turned.Count);
        Assert.Equal(via.Length, result.Solutions[0].Mirrors.Length);
        Assert.All(result.Solutions, s => Assert.InRange(s.MissMetres, 0, 0.005f));
        Assert.True(result.Solutions.Count >= 2 && result.Solutions[0].MoveDegrees <= result.Solutions[^1].MoveDegrees);

        // By the levels alone, in a stage that knows nothing of the solver.
        Assert.True(levels.TrySet(rig.Fixtures[0], "Dimmer", 1, out var why), why);
        levels.TrySet(rig.Fixtures[0], "Shutter1", 1, out _);
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        var moment = stage.MomentAt(TimeSpan.Zero);
        Assert.Contains(moment.Beams.ToArray(), b => b.Bounces == via.Length && Vector3.Cross(target - b.Apex, b.Axis).Length() < 0.005f);
    }

    [Fact]
    public void Ways_over_turners_that_can_not_be_are_refused_with_the_reason()
    {
        using var folder = new TempFolder();
        var rig = RigFiles.Open(folder.File("turners.rig.jsonc", Turners));
        var levels = new LevelsEncoder(rig);
        var solver = new AimSolver(rig, levels);
        var at = new Vector3(1.5f, -3, 0.5f);
        Assert.Contains("at most", solver.Solve(rig.Fixtures[0], at, ["turner", "rear", "front", "rear", "front"]).Why, StringComparison.Ordinal);
        Assert.Contains("can't be met twice", solver.Solve(rig.Fixtures[0], at, ["turner", "turner"]).Why, StringComparison.Ordinal);
        Assert.Contains("on the way from turner", solver.Solve(rig.Fixtures[0], new Vector3(60, 7.9f, 4), ["turner", "rear"]).Why, StringComparison.Ordinal);
        // A refusal turns nothing and takes no mirror; a way that stands keeps its mirror from the next head.
        Assert.NotEmpty(solver.Solve(rig.Fixtures[0], at, ["turner"]).Solutions);
        Assert.Contains("turned for head already", solver.Solve(rig.Fixtures[1], at, ["turner"]).Why, StringComparison.Ordinal);
        Assert.Equal("other turner", Assert.Single(solver.Solve(rig.Fixtures[1], at, ["other"]).Turned).Fixture.Name);
    }
}
