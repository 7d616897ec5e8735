using System.Text.Json;

namespace StageView.Stage;

/// <summary>Named times: the <c>pictures</c> list of the cue file that lies beside a capture (<c>show.pcapng</c>, <c>show.cues.jsonc</c>).</summary>
public static class CueFile
{
    /// <summary>Path of the cue file that belongs to a capture or a rig scene file.</summary>
    public static string Beside(string path)
    {
        var name = Path.GetFileName(path);
        var dot = name.IndexOf('.', StringComparison.Ordinal);
        return Path.Combine(Path.GetDirectoryName(path) ?? "", (dot < 0 ? name : name[..dot]) + ".cues.jsonc");
    }

    /// <param name="json">The file's text.</param>
    /// <param name="times">In the file's order.</param>
    /// <param name="problem">Where and why, when it returns false.</param>
    public static bool TryReadTimes(string json, out IReadOnlyList<CueTime> times, out LookProblem problem)
    {
        var list = new List<CueTime>();
        times = list;
        problem = default;
        try
        {
            using var document = JsonDocument.Parse(json, LookFile.Options);
            if (document.RootElement.ValueKind != JsonValueKind.Object
                || !document.RootElement.TryGetProperty("pictures", out var pictures) || pictures.ValueKind != JsonValueKind.Array)
            {
                problem = new("$.pictures", "a cue file names its times in a list \"pictures\"");
                return false;
            }

            var i = 0;
            foreach (var p in pictures.EnumerateArray())
            {
                var at = 0.0;
                if (p.ValueKind != JsonValueKind.Object || Text(p, "name").Length == 0 || !p.TryGetProperty("time", out var time)
                    || time.ValueKind != JsonValueKind.Number || !time.TryGetDouble(out at) || at is < 0 or > 360_000)
                {
                    problem = new($"$.pictures[{i}]", "needs a \"name\" and a \"time\" in seconds");
                    return false;
                }

                list.Add(new CueTime(Text(p, "name"), TimeSpan.FromSeconds(at), Text(p, "camera"), Text(p, "note")));
                i++;
            }

            return true;
        }
        catch (JsonException e)
        {
            problem = new($"line {e.LineNumber + 1}", "not JSON: " + e.Message.Split(" LineNumber", 2)[0]);
            return false;
        }
    }

    private static string Text(JsonElement element, string name) =>
        element.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.String ? v.GetString()! : "";
}
