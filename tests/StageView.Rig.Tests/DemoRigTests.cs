using StageView.Rig.Checks;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests;

public sealed class DemoRigTests
{
    [Fact]
    public void The_demo_rig_loads_without_a_word()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out var problems), string.Join('\n', problems));
        Assert.Empty(problems);
        var counts = RigChecker.Summarize(rig);
        int Of(string profile) => counts.Types.Where(t => t.Profile == profile).Sum(t => t.Count);
        Assert.True(Of("Spot head") >= 24);
        Assert.Equal(8, Of("Cell batten"));
        Assert.Equal(9, Of("Wall facet"));
        Assert.Equal(12, Of("Winched globe"));
        Assert.Equal(5, Of("Laser fan"));
        Assert.Equal(10, Of("Front profile"));
        Assert.Equal(2, Of("Mirror panel"));
        Assert.InRange(counts.Universes.Count, 18, 22);
        Assert.Empty(counts.Unpatched);
        Assert.Equal(25, rig.Mirrors.Count);
    }

    [Theory]
    [InlineData("one-beam")]
    [InlineData("one-mirror")]
    public void The_small_rigs_load(string name)
    {
        Assert.True(RigLoader.TryLoad(Repo.File("scenes", name, name + ".rig.jsonc"), out var rig, out var problems), string.Join('\n', problems));
        Assert.Empty(problems);
        Assert.Single(rig.Fixtures);
    }
}
