using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage.Looks;

namespace StageView.Show.Tests.Questions;

/// <summary>The rig's focus points are the named points of questions, looks and venue files.</summary>
public sealed class FocusPointTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Open(string points, string? venue = null, string more = "") => RigFiles.Open(_folder.File("points.rig.jsonc", $$"""
        {
          "name": "points", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "focusPoints": [{{points}}],
          "parts": [{ "name": "truss", "at": [0, 1, 6], "rotate": [0, 0, 30], "mirrored": true,
            "hangs": [{ "name": "a", "profile": "spot-head", "number": 1, "at": [-2, 0, 0], "patch": "1.1", {{more}} }] }]
        }
        """), venue is null ? null : _folder.File("v.venue.jsonc", "{ \"name\": \"v\", " + venue + " }"));

    private const string Singer = "{ \"name\": \"singer\", \"at\": [1, 2, 1.6] }";

    [Fact]
    public void A_focus_point_is_a_place_for_aim_and_lux()
    {
        var rig = Open(Singer);
        var point = new Vector3(1, 2, 1.6f);
        Assert.Equal(point, Texts.ToPoint(rig, "--at", "singer"));
        using var source = new FullShow(rig, null, ["1"]);
        var asked = new LuxAsked(["singer"], "plane", true, null, null, null);
        Assert.Equal(point, Assert.Single(LuxQuestion.Answer(rig, source.Stage.MomentAt(TimeSpan.Zero), asked).Points).Point);
    }

    [Fact]
    public void An_unknown_point_is_told_with_the_nearest_or_that_there_are_none()
    {
        string Wrong(string points) => Assert.Throws<StopException>(() => Texts.ToPoint(Open(points), "--at", "snger")).Message;
        Assert.Contains("did you mean \"singer\"?; there are singer", Wrong(Singer), StringComparison.Ordinal);
        Assert.EndsWith("there are none", Wrong(""), StringComparison.Ordinal);
        string Look(string points)
        {
            var problems = new List<RigProblem>();
            LookFile.Read(Open(points), """{ "set": [{ "fixtures": "all", "aim": "snger" }] }""", problems);
            return problems[0].Text;
        }

        Assert.Contains("did you mean \"singer\"?", Look(Singer), StringComparison.Ordinal);
        Assert.EndsWith("there are none", Look(""), StringComparison.Ordinal);
    }

    [Fact]
    public void A_look_aims_at_a_focus_point_unless_it_has_one_of_that_name()
    {
        var rig = Open(Singer);
        var problems = new List<RigProblem>();
        float[] Levels(string look)
        {
            var levels = LookFile.Read(rig, look, problems);
            return [.. rig.Fixtures.SelectMany(f => f.Mode.Channels.Select(c => (float)levels.RawOf(f, c)))];
        }

        Assert.Equal(Levels("""{ "set": [{ "fixtures": "all", "aim": [1, 2, 1.6] }] }"""), Levels("""{ "set": [{ "fixtures": "all", "aim": "singer" }] }"""));
        Assert.Equal(Levels("""{ "set": [{ "fixtures": "all", "aim": [0, 3, 0] }] }"""),
            Levels("""{ "points": { "singer": [0, 3, 0] }, "set": [{ "fixtures": "all", "aim": "singer" }] }"""));
        Assert.Empty(problems);
    }

    [Theory]
    [InlineData(null, 1, 2, 1.6f)]
    [InlineData("\"focusPoints\": [{ \"name\": \"singer\", \"at\": [0, 4, 2] }]", 0, 4, 2)]
    [InlineData("\"move\": [{ \"what\": \"singer\", \"by\": [0, -1, 0] }]", 1, 1, 1.6f)]
    [InlineData("\"move\": [{ \"what\": \"truss\", \"trim\": 4 }]", 1, 2, 1.6f)]
    public void A_hang_looks_at_a_focus_point_wherever_a_venue_has_either(string? venue, float x, float y, float z)
    {
        var rig = Open(Singer, venue, "\"aim\": \"singer\", \"mirrored\": true");
        var point = new Vector3(x, y, z);
        Assert.Equal(point, Assert.Single(rig.FocusPoints).Position);
        Assert.Equal(4, rig.Fixtures.Count);
        foreach (var f in rig.Fixtures)
        {
            Assert.True(Vector3.Distance(Vector3.Normalize(point - f.Pose.Position), f.Pose.TransformDirection(-Vector3.UnitZ)) < 1e-4f, f.Name);
        }
    }
}
