using System.Text.Json;

namespace StageView.Show.Sources;

/// <summary>A time of a capture that has a name.</summary>
/// <param name="Name">What <c>cue:NAME</c> calls it.</param>
/// <param name="Time">Show time.</param>
/// <param name="Camera">The camera it is best seen from, or null.</param>
/// <param name="Note">What can be seen, or empty.</param>
public sealed record CueTime(string Name, TimeSpan Time, string? Camera, string Note);

/// <summary>Named times from the cue file beside a capture: <c>show.cues.jsonc</c> for <c>show.pcapng</c>.</summary>
public static class CueTimes
{
    private static readonly JsonDocumentOptions Options = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };

    public static string FileFor(string capture) => Path.ChangeExtension(capture, ".cues.jsonc");

    /// <summary>The named times, pictures first, then cues; empty when there is no cue file.</summary>
    /// <exception cref="StopException">The cue file can't be read.</exception>
    public static IReadOnlyList<CueTime> Read(string capture) => Read(capture, "pictures", "cues");

    /// <summary>The cues alone, by time; empty when there is no cue file.</summary>
    /// <exception cref="StopException">The cue file can't be read.</exception>
    public static IReadOnlyList<CueTime> Cues(string capture) => [.. Read(capture, "cues").OrderBy(c => c.Time)];

    private static IReadOnlyList<CueTime> Read(string capture, params string[] keys)
    {
        var file = FileFor(capture);
        if (!File.Exists(file))
        {
            return [];
        }

        try
        {
            using var document = JsonDocument.Parse(File.ReadAllBytes(file), Options);
            return [.. keys.SelectMany(key => Entries(document.RootElement, key))];
        }
        catch (JsonException e)
        {
            throw StopException.Wrong($"{file}:{e.LineNumber + 1}: the cue file is no JSON: {e.Message}");
        }
    }

    public static CueTime Find(string capture, string name)
    {
        var cues = Read(capture);
        if (cues.Count == 0)
        {
            throw StopException.Wrong($"cue:{name} needs {FileFor(capture)}, which is not there or names no times");
        }

        return cues.FirstOrDefault(c => string.Equals(c.Name, name, StringComparison.OrdinalIgnoreCase))
            ?? throw StopException.Wrong($"{FileFor(capture)} has no cue named {name}; it has {string.Join(", ", cues.Select(c => c.Name))}");
    }

    private static IEnumerable<CueTime> Entries(JsonElement root, string key)
    {
        if (!root.TryGetProperty(key, out var list) || list.ValueKind != JsonValueKind.Array)
        {
            yield break;
        }

        foreach (var entry in list.EnumerateArray())
        {
            if (entry.ValueKind == JsonValueKind.Object
                && Text(entry, "name") is { } name
                && entry.TryGetProperty("time", out var time) && time.TryGetDouble(out var seconds)
                && seconds is >= 0 and <= 360_000)
            {
                yield return new CueTime(name, TimeSpan.FromSeconds(seconds), Text(entry, "camera"), Text(entry, "note") ?? "");
            }
        }
    }

    private static string? Text(JsonElement entry, string key) =>
        entry.TryGetProperty(key, out var value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;
}
