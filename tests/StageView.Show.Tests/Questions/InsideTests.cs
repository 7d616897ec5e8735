using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Questions;

/// <summary>A point inside something is dark because of that, and says so.</summary>
public sealed class InsideTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Open() => RigFiles.Open(_folder.File("inside.rig.jsonc", $$"""
        {
          "name": "inside", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"],
          "hangs": [{ "name": "front", "profile": "front-profile", "number": 1, "at": [0, -6, 6], "aim": [0, 2, 1], "patch": "1.1" }],
          "areas": [{ "name": "line", "corner": [-2, 2, 1], "across": [4, 0, 0], "points": [3, 1] }],
          "scenery": [
            { "name": "floor", "shape": "plane", "size": [60, 60, 1] },
            { "name": "hall", "shape": "room", "size": [30, 40, 9] },
            { "name": "singer", "shape": "person", "at": [0, 2, 0], "rotate": [0, 0, 40], "height": 1.75 },
            { "name": "crate", "shape": "box", "at": [3, 2, 0.5], "rotate": [0, 0, 45], "size": [1, 2, 1] } ]
        }
        """));

    private LuxAnswer Ask(LuxAsked asked)
    {
        var rig = Open();
        using var source = new FullShow(rig, null, ["1"]);
        return LuxQuestion.Answer(rig, source.Stage.MomentAt(TimeSpan.Zero), asked);
    }

    [Theory]
    [InlineData("0,2,1.2", "singer")]
    [InlineData("0,2,1.74", "singer")]
    [InlineData("0,2,1.8", "")]
    [InlineData("0,1.2,1.2", "")]
    [InlineData("3,2,0.5", "crate")]
    [InlineData("3.6,1.4,0.5", "crate")]
    [InlineData("3.6,2.6,0.5", "")]
    [InlineData("0,6,4", "")]
    [InlineData("15.1,6,4", "hall right")]
    public void A_point_says_what_it_lies_inside_of(string point, string inside) =>
        Assert.Equal(inside, Assert.Single(Ask(new LuxAsked([point], "plane", true, null, null, null)).Points).Inside);

    [Fact]
    public void So_does_a_position_that_front_light_does_not_reach()
    {
        var findings = Ask(new LuxAsked(["line"], "plane", true, 1_000_000, null, "1")).Findings;
        Assert.Equal(["", "singer", ""], findings.Select(f => f.Inside));
        Assert.EndsWith("lies inside singer", findings[1].Why, StringComparison.Ordinal);
    }
}
