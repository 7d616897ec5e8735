using System.Text;
using System.Text.Json;
using StageView.Rig.Source;

namespace StageView.Rig.Tests;

public sealed class SourcePlaceTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Fact]
    public void A_place_prints_as_messages_show_it()
    {
        var path = SourcePath.Top.Key("parts").Item(2).Key("hangs").Item(0);
        Assert.Equal("a.rig.jsonc:42 $.parts[2].hangs[0]", new SourcePlace("a.rig.jsonc", 42, path).ToString());
        Assert.Equal("a.rig.jsonc", SourcePlace.WholeOf("a.rig.jsonc").ToString());
        Assert.Equal("a.gdtf:7 description.xml", new SourcePlace("a.gdtf", 7, SourcePath.Entry("description.xml")).ToString());
        Assert.Equal([new("parts", 0), new(null, 2), new("hangs", 0), new(null, 0)], path.Steps);
        Assert.Equal(path, SourcePath.Top.Key("parts").Item(2).Key("hangs").Item(0));
        Assert.NotEqual(path, SourcePath.Top.Key("parts").Item(2).Key("hangs").Item(1));
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_fixture_knows_the_bytes_it_was_written_with(bool marked)
    {
        const string text = """
            { // Gate
              "name": "t",
              "hangs": [
                { "name": "ä", "profile": "front-profile", "patch": "1.1" },
                { "name": "b", "profile": "front-profile", "patch": "2.1", "row": { "from": [0, 0, 3], "to": [1, 0, 3], "count": 2 } }
              ]
            }
            """;
        var rig = _temp.Load((marked ? "\uFEFF" : "") + text);
        var bytes = File.ReadAllBytes(rig.File);
        Assert.Equal(marked, bytes.AsSpan().StartsWith(Encoding.UTF8.Preamble));
        string[] names = ["ä", "b", "b"];
        foreach (var (fixture, name) in rig.Fixtures.Zip(names))
        {
            var at = fixture.Source!;
            Assert.Equal(rig.File, at.File);
            using var json = JsonDocument.Parse(bytes.AsMemory(at.Span!.Value.Start, at.Span.Value.Length));
            Assert.Equal(name, json.RootElement.GetProperty("name").GetString());
        }

        Assert.Equal((4, "$.hangs[0]"), (rig.Fixtures[0].Source!.Line, rig.Fixtures[0].Source!.Path.ToString()));
        Assert.Equal(rig.Fixtures[1].Source, rig.Fixtures[2].Source);
    }
}
