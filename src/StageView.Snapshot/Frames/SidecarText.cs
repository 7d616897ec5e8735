using System.Text;
using System.Text.Json;

namespace StageView.Snapshot.Frames;

/// <summary>A sidecar as text: the head indented, then each fixture on one line. Half the size of all indented, and a line a fixture in a diff.</summary>
internal static class SidecarText
{
    private const string Empty = "\"fixtures\": []";

    public static byte[] Of(FrameSidecar sidecar)
    {
        var text = JsonSerializer.Serialize(sidecar with { Fixtures = [] }, SnapshotJson.Options);
        if (sidecar.Fixtures.Count > 0)
        {
            var lines = string.Join(",\n    ", sidecar.Fixtures.Select(f => JsonSerializer.Serialize(f, SnapshotJson.Line)));
            var at = text.LastIndexOf(Empty, StringComparison.Ordinal);
            text = $"{text[..at]}\"fixtures\": [\n    {lines}\n  ]{text[(at + Empty.Length)..]}";
        }

        return Encoding.UTF8.GetBytes(text + "\n");
    }
}
