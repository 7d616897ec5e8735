using System.Numerics;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Stage.Levels;

namespace StageView.Show.Tests.Questions;

/// <summary>The way that an aim's light takes. By hand, from the law of reflection: over a plane it goes straight to the target's image behind it.</summary>
public sealed class AimPathTests
{
    [Fact]
    public void A_way_goes_from_the_head_over_the_mirror_where_the_image_says_to_the_target()
    {
        using var folder = new TempFolder();
        var rig = RigFiles.Open(folder.File("room.rig.jsonc", $$"""
            {
              "name": "way", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "bounces": 1,
              "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 6], "patch": "1.1" }],
              "mirrors": [{ "name": "wall", "at": [0, 8, 4], "size": [16, 12], "surface": { "reflectance": 0.9 } }],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
            }
            """));
        var target = new Vector3(2, 3, 1);
        var solver = new AimSolver(rig, new LevelsEncoder(rig));
        var straight = solver.Solve(rig.Fixtures[0], target, []).Solutions[0].Path;
        Assert.Equal(2, straight.Count);
        Assert.Equal(target, straight[1]);
        Assert.InRange(Vector3.Distance(straight[0], new Vector3(0, 0, 6)), .1f, 1f);

        var way = solver.Solve(rig.Fixtures[0], target, ["wall"]).Solutions[0].Path;
        Assert.Equal(3, way.Count);
        var image = target with { Y = 16 - target.Y };
        var meets = Vector3.Lerp(way[0], image, (8 - way[0].Y) / (image.Y - way[0].Y));
        Assert.InRange(Vector3.Distance(meets, way[1]), 0, .01f);
        Assert.Equal(target, way[2]);
    }
}
