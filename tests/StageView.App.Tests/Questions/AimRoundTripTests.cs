using System.Numerics;
using StageView.App.Compose;
using StageView.App.Questions;
using StageView.Light;
using StageView.Rig;
using StageView.Stage;

namespace StageView.App.Tests.Questions;

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

    // 5 mm at 15 m for 10,000 random targets, half of them by the mirror. One step of 16 bits over 540° is 0.008°: half of it is
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
        for (var tries = 0; solved < 5000; tries++)
        {
            Assert.True(tries < 500_000, $"only {solved} targets can be reached");
            var direction = Vector3.Normalize(new Vector3(Unit(random), Unit(random), Unit(random)));
            var target = lens + (direction * (4 + (11 * (float)random.NextDouble())));
            var image = target;
            if (bounced)
            {
                // Length over the mirror kept to 15 m too.
                target = target with { Y = MathF.Min(target.Y, 7) };
                if (!MirrorAim.TryPath(still, lens, target, [0], meets, out _))
                {
                    continue;
                }

                image = MirrorAim.ImageOfTarget(still, lens, target, [0]);
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
        Assert.Contains("misses the outline", solver.Solve(head, new Vector3(40, 7.9f, 4), ["wall"]).Why, StringComparison.Ordinal);
        Assert.Contains("begins with door", solver.Solve(head, new Vector3(2, -4, 0), ["door"]).Why, StringComparison.Ordinal);
        Assert.Contains("wall is in the way", solver.Solve(head, new Vector3(0, 12, 4), []).Why, StringComparison.Ordinal);
    }
}
