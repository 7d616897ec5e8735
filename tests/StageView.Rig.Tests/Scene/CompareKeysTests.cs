using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

public sealed class CompareKeysTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-compare-keys-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Rules_are_read_with_their_regions_and_mask()
    {
        File.WriteAllBytes(Path.Combine(_folder, "m.png"), [1]);
        const string Rule = """
            { "frames": "*.house", "levels": 4, "edges": "count", "mask": "m.png",
              "regions": [{ "name": "clock", "left": 0.9, "top": 0, "width": 0.1, "height": 0.1, "ignore": true }] }
            """;
        Assert.True(Load(Rule, out var rig, out _));
        var rule = Assert.Single(rig!.Compare);
        Assert.Equal(("*.house", 4, false, Path.Combine(_folder, "m.png")), (rule.Frames, rule.Levels, rule.ForgiveEdges, rule.Mask));
        Assert.Null(rule.BlockLevels);
        Assert.Equal(new CompareArea("clock", rule.Areas[0].Left, 0, rule.Areas[0].Width, rule.Areas[0].Height, true, null), Assert.Single(rule.Areas));
    }

    [Theory]
    [InlineData("""{ "regions": [{ "name": "out", "left": 0.9, "top": 0, "width": 0.2, "height": 0.1 }] }""", "must lie inside the frame")]
    [InlineData("""{ "mask": "none.png" }""", "no picture none.png")]
    [InlineData("""{ "levels": 300 }""", "255")]
    public void What_cannot_be_a_rule_is_refused_with_its_place(string rule, string said)
    {
        Assert.False(Load(rule, out _, out var problems));
        Assert.Contains(problems, p => p.Text.Contains(said, StringComparison.Ordinal) && p.Line > 0
            && p.Path.StartsWith("$.compare[0]", StringComparison.Ordinal));
    }

    private bool Load(string rule, out RigScene? rig, out IReadOnlyList<RigProblem> problems)
    {
        var path = Path.Combine(_folder, "t.rig.jsonc");
        File.WriteAllText(path, $$"""{ "name": "t", "compare": [{{rule}}] }""");
        return RigLoader.TryLoad(path, out rig, out problems);
    }
}
