using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>What can hardly be meant is told, and the rig can still be used.</summary>
public sealed class PlausibleTests : IDisposable
{
    private const string Room = """{ "name": "hall", "shape": "room", "at": [0, 0, 0], "size": [20, 30, 10] }""";

    private const string Good = """{ "name": "house", "at": [0, -10, 2], "lookAt": [0, 4, 2] }""";

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    private string[] Warnings(string scenery, string camera = Good, string more = "")
    {
        var path = _temp.Write("p.rig.jsonc", $$"""{ "scenery": [{{scenery}}], "cameras": [{{camera}}] {{more}} }""");
        Assert.True(RigLoader.TryLoad(path, TempRig.WithAssets, out _, out var problems), string.Join('\n', problems));
        return [.. problems.Select(p => p.Text)];
    }

    [Theory]
    [InlineData("""{ "name": "truss", "shape": "truss", "from": [-3, 2, 8000], "to": [3, 2, 8000] }""",
        "truss lies more than 100 m above the stage (8000 m): places are in metres")]
    [InlineData("""{ "name": "deck", "shape": "box", "at": [0, 0, -200], "size": [1, 1, 1] }""",
        "deck lies more than 30 m below the stage (200 m): places are in metres")]
    [InlineData("""{ "name": "deck", "shape": "box", "at": [300, 400.5, 0], "size": [1, 1, 1] }""",
        "deck lies more than 500 m away (500 m): places are in metres")]
    [InlineData("""{ "name": "deck", "shape": "box", "size": [12000, 8000, 1000] }""", "\"deck\" is more than 1000 m long: are its measures metres?")]
    [InlineData("""{ "name": "singer", "shape": "person", "height": 180 }""", "\"singer\" is a person 179.1 m tall: is its height in metres?")]
    public void Places_and_sizes_out_of_any_house(string scenery, string says) => Assert.Equal([says], Warnings(scenery));

    [Fact]
    public void Many_are_told_in_one_line() => Assert.Equal(
        ["head 1 to 3 lie more than 100 m above the stage (7500 m): places are in metres"],
        Warnings("", Good, """
            , "hangs": [{ "name": "head", "profile": "spot-head", "row": { "from": [-2, 0, 7500], "to": [2, 0, 7500], "count": 3 }, "patch": "1.1" }]
            """));

    [Theory]
    [InlineData("[0, -40, 2]", "[0, 4, 2]", "hall front")]
    [InlineData("[0, 0, 30]", "[0, 1, 2]", "hall ceiling")]
    [InlineData("[10.1, 0, 2]", "[0, 0, 2]", "hall right")]
    public void A_camera_outside_the_room(string at, string target, string wall) => Assert.Contains(
        $"camera \"house\" looks at \"{wall}\" from outside", Assert.Single(Warnings(Room, $$"""{ "name": "house", "at": {{at}}, "lookAt": {{target}} }""")),
        StringComparison.Ordinal);

    [Fact]
    public void A_sound_rig_and_the_demo_have_no_such_warning()
    {
        Assert.Empty(Warnings(Room));
        Assert.Empty(Warnings("""{ "name": "hall", "shape": "room", "size": [20, 30, 10], "walls": ["floor", "rear"] }""",
            """{ "name": "house", "at": [0, -40, 12], "lookAt": [0, 4, 2] }"""));
        Assert.Empty(Warnings(Room, """{ "name": "house", "at": [0, -10, 2], "lookAt": [0, 90, -9] }"""));
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out _, out var problems));
        Assert.Empty(problems);
    }
}
