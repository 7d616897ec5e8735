using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

public sealed class ContentKeysTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("stageview-content-keys-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public void Content_is_read_with_its_rectangle_and_fixtures()
    {
        const string Clip = """
            { "name": "c", "file": "clips/a.mp4", "corner": [-2, 0, 4], "across": [4, 0, 0], "down": [0, 0, -2],
              "luminance": 800, "start": 1.5, "repeat": true, "mix": "add", "fixtures": ["sp*"] }
            """;
        Assert.True(Load(Clip, out var rig, out _));
        var c = Assert.Single(rig!.Content);
        Assert.Equal(("c", new Vector3(-2, 0, 4), new Vector3(4, 0, 0), 800f, TimeSpan.FromSeconds(1.5), true, ContentMix.Add),
            (c.Name, c.Corner, c.Across, c.Luminance, c.Start, c.Repeat, c.Mix));
        Assert.Equal([new FixtureIndex(0)], c.Fixtures);
        Assert.Equal(Path.Combine(_folder, "clips", "a.mp4"), c.FullPath);
    }

    [Fact]
    public void Content_that_fixtures_throw_lies_on_no_pixels()
    {
        Assert.True(Load("""{ "name": "c", "file": "clips/a.mp4", "through": ["sp*"] }""", out var rig, out _));
        var c = Assert.Single(rig!.Content);
        Assert.Equal([new FixtureIndex(0)], c.Through);
        Assert.Empty(c.Fixtures);
    }

    [Theory]
    [InlineData("""{ "name": "c", "file": "a", "through": ["nobody"] }""", "no fixture or group is called \"nobody\"")]
    [InlineData("""{ "name": "c", "file": "a", "through": ["spot"], "luminance": 8 }""", "lies on no pixels")]
    [InlineData("""{ "name": "c", "file": "a", "through": ["spot"], "map": "m" }""", "lies on no pixels")]
    [InlineData("""{ "name": "c", "file": "a", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [-2, 0, 0], "luminance": 8 }""", "must span a rectangle")]
    [InlineData("""{ "name": "c", "file": "a", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 0, -2], "luminance": 8, "fixtures": ["nobody"] }""",
        "no fixture or group is called \"nobody\"")]
    [InlineData("""{ "name": "c", "file": "a", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 0, -2] }""", "luminance")]
    [InlineData("""{ "name": "c", "file": "a", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 0, -2], "luminance": 8, "mix": "lighter" }""", "highest")]
    [InlineData(
        """{ "name": "c", "file": "a", "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 0, -2], "luminance": 8, "start": 3, "clock": "timecode" }""",
        "needs a timecode to start at")]
    [InlineData("""
        { "name": "c", "input": { "address": "udp://10.0.0.1:9" }, "corner": [0, 0, 0], "across": [4, 0, 0], "down": [0, 0, -2], "luminance": 8,
          "start": "tc:01:00:00:00", "clock": "timecode" }
        """, "a live input follows no clock")]
    public void What_cannot_be_content_is_refused_with_its_place(string content, string said)
    {
        Assert.False(Load(content, out _, out var problems));
        Assert.Contains(problems, p => p.Text.Contains(said, StringComparison.Ordinal) && p.Line > 0
            && p.Path.StartsWith("$.content[0]", StringComparison.Ordinal));
    }

    private bool Load(string content, out RigScene? rig, out IReadOnlyList<RigProblem> problems)
    {
        var path = Path.Combine(_folder, "t.rig.jsonc");
        var profiles = Repo.File("assets", "fixtures").Replace('\\', '/');
        File.WriteAllText(path, $$"""
            {
              "name": "t",
              "profiles": ["{{profiles}}"],
              "hangs": [{ "name": "spot", "profile": "front-profile", "at": [0, 0, 5], "patch": "1.1" }],
              "content": [{{content}}]
            }
            """);
        return RigLoader.TryLoad(path, out rig, out problems);
    }
}
