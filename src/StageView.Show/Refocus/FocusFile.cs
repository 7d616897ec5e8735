using System.Text.Json;
using System.Text.Json.Serialization;
using StageView.Ground.Files;

namespace StageView.Show.Refocus;

/// <summary>The file beside the rig that keeps what was focused in a venue.</summary>
public static class FocusFile
{
    private const int MaxBytes = 16 << 20;

    private static readonly JsonSerializerOptions Json = new(JsonSerializerDefaults.Web)
    {
        WriteIndented = true, NewLine = "\n", RespectNullableAnnotations = true, MaxDepth = 8,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull, Encoder = System.Text.Encodings.Web.JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Where it lies: <c>tour.low-hall.focused.json</c> for <c>tour.rig.jsonc</c> in <c>low-hall.venue.jsonc</c>.</summary>
    /// <param name="rigFile">The tour's rig file.</param>
    /// <param name="venue">Today's venue file, or null.</param>
    public static string For(string rigFile, string? venue)
    {
        var full = Path.GetFullPath(rigFile);
        var name = Stem(full, ".rig") + (venue is null ? "" : "." + Stem(venue, ".venue"));
        return Path.Combine(Path.GetDirectoryName(full)!, name + ".focused.json");
    }

    /// <summary>What was ticked; nothing where there is no file yet.</summary>
    /// <exception cref="StopException">The file is there and can't be read; the message names it and the place in it.</exception>
    public static IReadOnlyList<FocusTick> Read(string path)
    {
        if (!File.Exists(path))
        {
            return [];
        }

        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{path}: {why}");
        }

        try
        {
            return JsonSerializer.Deserialize<Kept>(bytes, Json)?.Ticks is { } ticks && ticks.All(t => t is not null) ? ticks
                : throw new JsonException();
        }
        catch (JsonException e)
        {
            throw StopException.Wrong(
                $"{path}:{(e.LineNumber ?? 0) + 1}: {e.Path ?? "$"}: is not a list of ticks as StageView writes it; mend it, or move it away");
        }
    }

    /// <summary>Writes all ticks, whole or not at all.</summary>
    /// <exception cref="IOException">It can't be written.</exception>
    public static void Write(string path, string tour, string venue, IReadOnlyList<FocusTick> ticks) =>
        WholeFile.Write(path, JsonSerializer.SerializeToUtf8Bytes(new Kept(tour, venue, ticks), Json));

    private static string Stem(string path, string kind)
    {
        var name = Path.GetFileNameWithoutExtension(path);
        return name.EndsWith(kind, StringComparison.OrdinalIgnoreCase) ? name[..^kind.Length] : name;
    }

    private sealed record Kept(string Tour, string Venue, IReadOnlyList<FocusTick> Ticks);
}
