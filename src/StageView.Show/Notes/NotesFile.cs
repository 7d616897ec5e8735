using System.Text.Json;
using System.Text.Json.Serialization;
using StageView.Ground.Files;

namespace StageView.Show.Notes;

/// <summary>The file beside the rig that keeps its notes and cameras, with the notes' pictures in a folder beside it.</summary>
public static class NotesFile
{
    private const int MaxBytes = 16 << 20;

    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true, NewLine = "\n", RespectNullableAnnotations = true, RespectRequiredConstructorParameters = true, MaxDepth = 8,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Where it lies: <c>tour.notes.json</c> for <c>tour.rig.jsonc</c>.</summary>
    public static string For(string rigFile)
    {
        var full = Path.GetFullPath(rigFile);
        var name = Path.GetFileNameWithoutExtension(full);
        return Path.Combine(Path.GetDirectoryName(full)!, (name.EndsWith(".rig", StringComparison.OrdinalIgnoreCase) ? name[..^4] : name) + ".notes.json");
    }

    /// <summary>The folder with the notes' pictures: <c>tour.notes</c> beside <c>tour.notes.json</c>.</summary>
    public static string PicturesOf(string path) => Path.ChangeExtension(path, null);

    /// <summary>What is kept; nothing where there is no file yet.</summary>
    /// <exception cref="StopException">The file is there and can't be read; the message names it and the place in it.</exception>
    public static NotesKept Read(string path)
    {
        if (!File.Exists(path))
        {
            return NotesKept.Nothing;
        }

        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{path}: {why}");
        }

        try
        {
            return JsonSerializer.Deserialize<NotesKept>(bytes, Json) is { } kept && kept.Cameras.All(IsWhole)
                && kept.Notes.All(n => n is not null && IsWhole(n.Camera))
                ? kept : throw new JsonException();
        }
        catch (JsonException e)
        {
            throw StopException.Wrong(
                $"{path}:{(e.LineNumber ?? 0) + 1}: {e.Path ?? "$"}: is no list of notes and cameras as StageView writes it; mend it, or move it away");
        }
    }

    /// <summary>Writes all of it, whole or not at all.</summary>
    /// <exception cref="IOException">It can't be written.</exception>
    public static void Write(string path, NotesKept kept) => WholeFile.Write(path, JsonSerializer.SerializeToUtf8Bytes(kept, Json));

    private static bool IsWhole(KeptCamera? camera) => camera is { Position.Length: 3, Target.Length: 3 };
}
