using StageView.Rig.Pieces;
using StageView.Show.Frames;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage;

namespace StageView.Show.Tests.Questions;

/// <summary>What goes by a name that a venue left out is told which venue did it.</summary>
public sealed class LeftOutTests : IDisposable
{
    private const string Told = "; the venue \"low hall\" leaves it out";

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Points_areas_cameras_and_scenery_that_are_asked_for()
    {
        var rig = Rig("\"remove\": [\"mark\", \"stage\", \"front\", \"wall\"]");
        var point = Assert.Throws<StopException>(() => Texts.ToPoint(rig, "--at", "mark"));
        Assert.Contains(Told, point.Message, StringComparison.Ordinal);
        var area = Assert.Throws<StopException>(() => Lux(rig, "stage"));
        Assert.Contains(Told, area.Message, StringComparison.Ordinal);
        var piece = Assert.Throws<StopException>(() => Lux(rig, "scenery:wall"));
        Assert.Contains(Told, piece.Message, StringComparison.Ordinal);
        var camera = Assert.Throws<StopException>(() => FrameNames.Cameras(rig, ["front"]));
        Assert.Contains(Told, camera.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("mark", "\"fixtures\": \"head\", \"aim\": \"mark\"")]
    [InlineData("spare", "\"fixtures\": \"spares\", \"dimmer\": 1")]
    public void A_look_that_uses_it(string removed, string entry)
    {
        var look = _folder.File("a.look.jsonc", "{ \"set\": [{ " + entry + " }] }");
        using (new LookShow(Rig("\"remove\": []"), look))
        {
        }

        var stop = Assert.Throws<StopException>(() => new LookShow(Rig($"\"remove\": [\"{removed}\"]"), look));
        Assert.Contains(Told, stop.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_look_that_goes_by_a_mirror()
    {
        var look = _folder.File("a.look.jsonc",
            """{ "set": [{ "fixtures": "head", "aim": { "mirror": "glass", "from": [0, 0, 0], "to": [0, 0, 0] } }] }""");
        using var there = new LookShow(Rig("\"remove\": []"), look);
        Assert.Null(there.Problem);
        using var gone = new LookShow(Rig("\"remove\": [\"glass\"]"), look);
        Assert.Contains(Told, gone.Problem!, StringComparison.Ordinal);
    }

    private static LuxAnswer Lux(RigScene rig, string on) =>
        LuxQuestion.Answer(rig, new StageModel(rig).MomentAt(TimeSpan.Zero), new LuxAsked([on], "plane", false, null, null, null));

    private RigScene Rig(string venue) => RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
        { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
          "cameras": [{ "name": "front", "at": [0, -12, 2], "lookAt": [0, 0, 2] }, { "name": "rear", "at": [0, 12, 2], "lookAt": [0, 0, 2] }],
          "areas": [{ "name": "stage", "corner": [-1, 1, 1], "across": [2, 0, 0], "points": [3] }],
          "focusPoints": [{ "name": "mark", "at": [0, 2, 0] }],
          "scenery": [{ "name": "wall", "shape": "box", "at": [5, 0, 1], "size": [1, 1, 2] }],
          "mirrors": [{ "name": "glass", "at": [0, 9, 5], "size": [8, 6] }],
          "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 8], "patch": "1.1" },
            { "name": "spare", "profile": "spot-head", "number": 2, "at": [2, 0, 8], "groups": ["spares"], "patch": "1.101" }] }
        """), _folder.File("v.venue.jsonc", "{ \"name\": \"low hall\", " + venue + " }"));
}
