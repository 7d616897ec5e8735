using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using StageView.Snapshot.Files;

namespace StageView.Snapshot.Frames;

/// <summary>How the records of this room are written as JSON.</summary>
public static class SnapshotJson
{
    private const long MaxFileBytes = 64L * 1024 * 1024;

    /// <summary>camelCase, enums as words, indented, what is null left out.</summary>
    public static JsonSerializerOptions Options { get; } = Make(indented: true);

    /// <summary>The same on one line.</summary>
    public static JsonSerializerOptions Line { get; } = Make(indented: false);

    /// <summary>Reads a file that people write: a key that is not known is refused.</summary>
    /// <exception cref="SnapshotException">As for reading a record, and for a key that means nothing.</exception>
    public static T ReadStrict<T>(string path) => Read<T>(path, _strict, "mend it by hand");

    /// <summary>Reads one record from a file.</summary>
    /// <exception cref="SnapshotException">Missing, too large, or not that record: the message names the file, the line and the JSON path.</exception>
    public static T Read<T>(string path) => Read<T>(path, Options, "write it again with 'stageview snap' or mend it by hand");

    private static T Read<T>(string path, JsonSerializerOptions options, string advice)
    {
        var bytes = Bytes(path);
        try
        {
            return JsonSerializer.Deserialize<T>(bytes, options) ?? throw new SnapshotException($"{path}: is empty");
        }
        catch (JsonException e)
        {
            throw new SnapshotException(
                $"{path}:{(e.LineNumber ?? 0) + 1} {e.Path ?? "$"}: is not the record expected here ({Short(e.Message)}); {advice}", e);
        }
    }

    public static void Write<T>(T record, string path) =>
        FrameFile.SaveBytes([.. JsonSerializer.SerializeToUtf8Bytes(record, Options), (byte)'\n'], path);

    private static byte[] Bytes(string path)
    {
        try
        {
            var info = new FileInfo(path);
            return info.Exists && info.Length > MaxFileBytes
                ? throw new SnapshotException($"{path}: {info.Length} bytes are more than the {MaxFileBytes} that a record may have")
                : File.ReadAllBytes(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new SnapshotException($"{path}: can't be read: {e.Message}", e);
        }
    }

    private static string Short(string message)
    {
        // The library names its own types; whoever wrote the file knows its keys.
        if (message.StartsWith("The JSON property '", StringComparison.Ordinal) && message.Split('\'') is { Length: > 2 } words)
        {
            return $"there is no key '{words[1]}' here";
        }

        var cut = message.IndexOf(" Path:", StringComparison.Ordinal);
        return cut > 0 ? message[..cut] : message;
    }

    private static readonly JsonSerializerOptions _strict = new(Options) { UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow };

    private static JsonSerializerOptions Make(bool indented) => new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = indented, NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        MaxDepth = 32,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },
    };
}
