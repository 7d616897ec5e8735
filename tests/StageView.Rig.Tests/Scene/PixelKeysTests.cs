using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Rig.Tests.Scene;

/// <summary>Maps of pixels and content in rig files: what can't be meant is one error that names its place.</summary>
public sealed class PixelKeysTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("""{ "name": "c", "luminance": 1, "map": "m" }""", "either a \"file\" or an \"input\"")]
    [InlineData("""{ "name": "c", "luminance": 1, "map": "m", "file": "a.png", "input": { "address": "udp://127.0.0.1:1" } }""",
        "either a \"file\" or an \"input\"")]
    [InlineData("""{ "name": "c", "luminance": 1, "file": "a.png" }""", "\"corner\" is missing")]
    [InlineData("""{ "name": "c", "luminance": 1, "file": "a.png", "map": "m", "corner": [0, 0, 0] }""", "the \"map\" places this content already")]
    [InlineData("""{ "name": "c", "luminance": 1, "file": "a.png", "map": "mm" }""", "no map is named \"mm\"")]
    [InlineData("""{ "name": "c", "luminance": 1, "file": "a.png", "map": "m", "start": "tc:1:00" }""", "a timecode written tc:HH:MM:SS:FF")]
    public void Content_that_can_not_be_meant(string content, string said) =>
        Assert.Contains(said, Problems($$"""{ "maps": [{ "name": "m", "kind": "curve" }], "content": [{{content}}] }"""), StringComparison.Ordinal);

    [Theory]
    [InlineData("""{ "name": "m", "kind": "flat" }""", "a map of this kind needs \"corner\"")]
    [InlineData("""{ "name": "m", "kind": "byHand" }""", "a map of this kind needs \"file\"")]
    [InlineData("""{ "name": "m", "kind": "byHand", "file": "gone.csv" }""", "gone.csv does not exist")]
    [InlineData("""{ "name": "m", "kind": "curve", "fixtures": ["nobody"] }""", "no fixture or group is called \"nobody\"")]
    [InlineData("""{ "name": "m", "kind": "curve" }, { "name": "m", "kind": "curve" }""", "two maps are named \"m\"")]
    public void Maps_that_can_not_be_meant(string maps, string said) =>
        Assert.Contains(said, Problems($$"""{ "maps": [{{maps}}] }"""), StringComparison.Ordinal);

    [Fact]
    public void What_is_written_is_read()
    {
        var file = _folder.File("a.rig.jsonc", """
            {
              "maps": [{ "name": "m", "kind": "grid", "columns": 4, "rows": 2, "order": "columnsSerpentine", "turn": "270", "mirrored": true }],
              "content": [{
                "name": "c", "input": { "format": "v4l2", "address": "/dev/video0", "rate": 50 }, "map": "m", "luminance": 900,
                "start": "tc:01:00:00:00", "offset": 2.5, "pace": 0.5, "facingAway": "hold"
              }]
            }
            """);
        Assert.True(RigLoader.TryLoad(file, out var rig, out var problems), string.Join('\n', problems));
        var (map, content) = (Assert.Single(rig.PixelMaps), Assert.Single(rig.Content));
        Assert.Equal((PixelMapKind.Grid, 4, 2, 3, true), (map.Kind, map.Columns, map.Rows, map.QuarterTurns, map.Mirrored));
        Assert.Equal(new ContentInput("v4l2", "/dev/video0", 320, 180, 50), content.Input);
        Assert.Equal(("01:00:00:00", 2.5, .5, FacingAway.Hold), (content.StartTimecode, content.Offset.TotalSeconds, content.Pace, content.FacingAway));
    }

    private string Problems(string rig)
    {
        Assert.False(RigLoader.TryLoad(_folder.File("a.rig.jsonc", rig), out _, out var problems));
        return string.Join('\n', problems);
    }
}
