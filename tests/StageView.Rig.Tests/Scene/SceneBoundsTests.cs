using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

/// <summary>A few lines that ask for a million million things are one error at their place, and little work.</summary>
public sealed class SceneBoundsTests : IDisposable
{
    private const string Row = "\"row\": { \"from\": [0, 0, 0], \"to\": [1, 0, 0], \"count\": 10000 }";
    private const string Profile = """
        { "name": "f", "geometry": [{ "name": "r", "beam": { "kind": "spot" } }], "modes": [{ "name": "m", "channels": [{ "attribute": "Dimmer" }] }] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Theory]
    [InlineData("\"parts\": [{ \"name\": \"b\", ROW, \"parts\": [{ \"name\": \"c\", ROW }] }]", "$.parts[0].parts[0].parts[0]",
        "more than 100000 copies of parts")]
    [InlineData("\"hangs\": [{ \"name\": \"h\", \"profile\": \"f\", ROW }]", "$.parts[0].hangs[0]", "more than 50000 fixtures")]
    [InlineData("\"scenery\": [{ \"name\": \"s\", \"shape\": \"box\", \"size\": [1, 1, 1], ROW }]", "$.parts[0].scenery[0]", "more than 100000 scenery pieces")]
    [InlineData("\"mirrors\": [{ \"name\": \"m\", \"size\": [9, 9], \"panels\": { \"columns\": 100, \"rows\": 100 } }]", "$.parts[0].mirrors[0]",
        "more than 20000 mirrors")]
    public void Copies_of_copies_stop_at_a_bound(string held, string path, string says)
    {
        var text = $"{{ \"parts\": [{{ \"name\": \"a\", {Row}, {held.Replace("ROW", Row, StringComparison.Ordinal)} }}] }}";
        var build = Read(text);
        var problem = Assert.Single(build.Problems.ToList());
        Assert.Equal((path, 1), (problem.Path, problem.Line));
        Assert.Contains(says, problem.Text, StringComparison.Ordinal);
        Assert.InRange(build.Bounds.Work, 1, 150_000);
    }

    [Fact]
    public void Entries_within_copies_are_counted_too()
    {
        var hangs = string.Join(',', Enumerable.Range(0, 200).Select(i => $"{{ \"name\": \"h{i}\", \"profile\": \"none\" }}"));
        var build = Read($"{{ \"parts\": [{{ \"name\": \"a\", {Row}, \"hangs\": [{hangs}] }}] }}");
        // What is wrong with each copy is told once; then there are too many to be read.
        Assert.Equal(201, build.Problems.ToList().Count);
        Assert.Contains("more than 500000 entries", build.Problems.ToList()[^1].Text, StringComparison.Ordinal);
        Assert.InRange(build.Bounds.Work, 1, 600_000);
    }

    [Fact]
    public void The_pixels_of_all_fixtures_are_counted()
    {
        var build = Read($"{{ \"hangs\": [{{ \"name\": \"h\", \"profile\": \"f\", {Row} }}] }}", """
            { "name": "f", "geometry": [{ "name": "r", "pixels": { "columns": 200, "rows": 100, "size": [1, 1], "luminance": 1 } }],
              "modes": [{ "name": "m", "channels": [], "pixels": [{ "geometry": "r" }] }] }
            """);
        Assert.Contains("more than 4000000 pixels", Assert.Single(build.Problems.ToList()).Text, StringComparison.Ordinal);
        Assert.Equal(200, build.Hung.Count);
    }

    [Fact]
    public void Names_are_compared_so_often_and_no_more()
    {
        var problems = new ProblemList();
        var bounds = new SceneBounds(problems);
        var run = new SourceNode("a.rig.jsonc", 7, SourceKind.Text, null, null, 0);
        for (var i = 0; i < 200; i++)
        {
            Assert.True(bounds.Compare(run, 50_000));
        }

        Assert.False(bounds.Compare(run, 50_000));
        Assert.False(bounds.Compare(run, 1));
        Assert.Contains("more than 10000000 comparisons of names", Assert.Single(problems.ToList()).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Carried_by_too_many_is_no_chain_without_end()
    {
        var hangs = string.Join(',', Enumerable.Range(0, 70).Select(i =>
            $"{{ \"name\": \"h{i}\", \"profile\": \"f\"{(i > 0 ? $", \"carriedBy\": {{ \"fixture\": \"h{i - 1}\", \"part\": \"r\" }}" : "")} }}"));
        _temp.Write("f.fixture.jsonc", Profile);
        var problem = Assert.Single(_temp.Refused($"{{ \"hangs\": [{hangs}] }}"));
        Assert.Equal("$.hangs[65]", problem.Path);
        Assert.Contains("by more than 64 one on another", problem.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_list_that_is_too_long_is_not_read_any_further()
    {
        var cameras = string.Join(',', Enumerable.Range(0, 1001).Select(i => $"{{ \"name\": \"c{i}\", \"at\": [0, 0, 0], \"lookAt\": [0, 1, 0] }}"));
        var build = Read($"{{ \"cameras\": [{cameras}] }}");
        var problem = Assert.Single(build.Problems.ToList());
        Assert.Equal("$.cameras: holds 1001: at most 1000 are read", $"{problem.Path}: {problem.Text}");
        Assert.Empty(build.Cameras);
    }

    private SceneBuild Read(string text, string profile = Profile)
    {
        _temp.Write("f.fixture.jsonc", profile);
        var build = new SceneBuild();
        new SceneReader(build, TempRig.WithAssets).ReadFile(_temp.Write("a.rig.jsonc", text));
        return build;
    }
}
