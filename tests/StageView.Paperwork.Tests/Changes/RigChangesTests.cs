using StageView.Paperwork.Changes;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Changes;

public sealed class RigChangesTests
{
    private const string Plain = """
        "hangs": [
          { "name": "a", "profile": "spot-head", "number": 1, "patch": "1.1", "at": [0, 2, 6], "uuid": "6f2cc0a8-7f3c-4b28-a0cc-08aa4b51b3f1" },
          { "name": "b", "profile": "spot-head", "number": 2, "patch": "1.101", "at": [1, 2, 6] }],
        "scenery": [{ "name": "riser", "shape": "box", "at": [0, 4, 0.25], "size": [3, 2, 0.5] }],
        "focusPoints": [{ "name": "centre", "at": [0, 3, 0] }]
        """;

    [Fact]
    public void The_same_rig_has_no_changes() => Assert.Empty(Between(Plain, Plain));

    [Theory]
    [InlineData("\"at\": [0, 2, 6]", "\"at\": [0.3, 2, 5.6]", "fixture a moves by 0.5 m (0.3 to the audience's right, 0.4 down)")]
    [InlineData("\"at\": [0, 2, 6]", "\"at\": [0, 2, 6], \"rotate\": [0, 0, 30]", "fixture a turns by 30.0 degrees")]
    [InlineData("\"patch\": \"1.101\"", "\"patch\": \"2.1\"", "fixture b address 1.101 becomes 2.1")]
    [InlineData("\"patch\": \"1.101\", ", "", "fixture b address 1.101 becomes none")]
    [InlineData("\"number\": 2", "\"number\": 7", "fixture b number 2 becomes 7")]
    [InlineData("\"patch\": \"1.101\"", "\"patch\": \"1.101\", \"mode\": \"Short\"", "fixture b mode Full becomes Short")]
    [InlineData("\"patch\": \"1.101\"", "\"patch\": \"1.101\", \"invertPan\": true", "fixture b pan is turned round")]
    [InlineData("\"name\": \"a\"", "\"name\": \"first\"", "fixture first was named a")]
    [InlineData("\"at\": [0, 4, 0.25]", "\"at\": [0, 3, 0.25]", "scenery riser moves by 1 m (1 downstage)")]
    [InlineData("\"name\": \"riser\"", "\"name\": \"stair\"", "scenery riser is gone", "scenery stair is new")]
    [InlineData("\"at\": [0, 3, 0]", "\"at\": [0, 3, 1]", "focus point centre moves by 1 m (1 up)")]
    public void Each_change_is_told_in_the_rigs_own_words(string before, string after, params string[] told)
    {
        Assert.Contains(before, Plain, StringComparison.Ordinal);
        Assert.Equal(told, Between(Plain, Plain.Replace(before, after, StringComparison.Ordinal)).Select(c => c.ToString()));
    }

    [Fact]
    public void One_of_another_identity_is_another_one_though_the_name_is_the_same() => Assert.Equal(
        ["fixture a is gone", "fixture a (1.1) is new, Spot head, Full"],
        Between(Plain, Plain.Replace("6f2cc0a8", "7f2cc0a8", StringComparison.Ordinal)).Select(c => c.ToString()));

    [Fact]
    public void What_moves_as_one_is_one_change() => Assert.Equal(
        ["2 × fixture moves by 0.8 m (0.8 down): a, b"],
        Between(Plain, Plain.Replace("2, 6]", "2, 5.2]", StringComparison.Ordinal)).Select(c => c.ToString()));

    private static IReadOnlyList<RigChange> Between(string before, string after)
    {
        using var folder = new TempFolder();
        return RigChanges.Between(Load(folder, before), Load(folder, after));
    }

    private static RigScene Load(TempFolder folder, string text)
    {
        var profiles = System.Text.Json.JsonSerializer.Serialize(Repo.File("assets", "fixtures"));
        var file = folder.File($"{Guid.NewGuid():N}.rig.jsonc", $$"""{ "profiles": [{{profiles}}], {{text}} }""");
        Assert.True(RigLoader.TryLoad(file, out var rig, out var problems), string.Join('\n', problems));
        return rig;
    }
}
