using System.Globalization;
using System.Text.Json;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Exchange;

/// <summary>What a station says of one of its files.</summary>
/// <param name="File">The file's identity.</param>
/// <param name="Station">The station that has it; empty where the message doesn't say.</param>
/// <param name="Bytes">Its size as stated, 0 where it isn't.</param>
/// <param name="Comment">What was changed, in its author's words.</param>
/// <param name="FileName">The file's name, or empty.</param>
/// <param name="For">Stations that it is meant for; empty for all.</param>
public sealed record CommitLine(Guid File, Guid Station, long Bytes, string Comment, string FileName, IReadOnlyList<Guid> For);

/// <summary>
/// One message in JSON (DIN SPEC 15801, tables of MVR_JOIN to MVR_NEW_SESSION_HOST). Read as the standard's tables and its examples write it, which differ:
/// answers under their own name or with <c>_RET</c>, commits under <c>Commits</c> or <c>Files</c>, flags and numbers as such or as texts, a station as
/// <c>StationUUID</c>, <c>FromStationUUID</c> or a list of it. Written as the tables say.
/// </summary>
public sealed record ExchangeMessage
{
    public const string Join = "MVR_JOIN";
    public const string Leave = "MVR_LEAVE";
    public const string Commit = "MVR_COMMIT";
    public const string Request = "MVR_REQUEST";
    public const string NewHost = "MVR_NEW_SESSION_HOST";
    private const string Answer = "_RET";
    private const int LongestName = 100;
    private const int LongestComment = 1000;

    /// <summary>Its name, without what marks answers.</summary>
    public required string Type { get; init; }

    /// <summary>For an answer, whether it was done; null for what is no answer.</summary>
    public bool? Ok { get; init; }

    /// <summary>Why not.</summary>
    public string Words { get; init; } = "";

    /// <summary>The program that sends it.</summary>
    public string Provider { get; init; } = "";

    public string StationName { get; init; } = "";

    /// <summary>The station that sends it, or that is asked; empty where it isn't named.</summary>
    public Guid Station { get; init; }

    /// <summary>A joining station's files.</summary>
    public IReadOnlyList<CommitLine> Commits { get; init; } = [];

    /// <summary>The one file that a commit tells of.</summary>
    public CommitLine? Told { get; init; }

    /// <summary>The file that is asked for; empty for the last.</summary>
    public Guid File { get; init; }

    /// <summary>Another group, of a new host.</summary>
    public string ServiceName { get; init; } = "";

    /// <summary>Another address, of a new host.</summary>
    public string ServiceUrl { get; init; } = "";

    /// <param name="bytes">UTF-8.</param>
    /// <param name="message">The message.</param>
    /// <param name="why">Why it can't be read.</param>
    public static bool TryRead(ReadOnlyMemory<byte> bytes, out ExchangeMessage message, out string why)
    {
        message = null!;
        try
        {
            // A byte-order mark or a NUL at the end is no part of the JSON.
            var text = bytes.Span.StartsWith("\uFEFF"u8) ? bytes[3..] : bytes;
            text = text[..(text.Span.LastIndexOfAnyExcept((byte)0) + 1)];
            using var json = JsonDocument.Parse(text, new JsonDocumentOptions { MaxDepth = ExchangeNumbers.MostJsonDepth, AllowTrailingCommas = true });
            var o = json.RootElement;
            if (o.ValueKind != JsonValueKind.Object || Text(o, "Type", LongestName) is not { Length: > 0 } type)
            {
                why = "the message has no Type";
                return false;
            }

            var isAnswer = type.EndsWith(Answer, StringComparison.Ordinal);
            message = new ExchangeMessage
            {
                Type = isAnswer ? type[..^Answer.Length] : type,
                Ok = Flag(o, "OK") ?? (isAnswer ? false : null),
                Words = Text(o, "Message", LongestComment),
                Provider = Text(o, "Provider", LongestName),
                StationName = Text(o, "StationName", LongestName),
                Station = Ids(o, "StationUUID").Concat(Ids(o, "FromStationUUID")).FirstOrDefault(),
                Commits = [.. Items(o, "Commits").Concat(Items(o, "Files")).Take(ExchangeNumbers.MostCommits).Select(Line).Where(c => c.File != Guid.Empty)],
                Told = type == Commit ? Line(o) : null,
                File = Ids(o, "FileUUID").FirstOrDefault(),
                ServiceName = Text(o, "ServiceName", LongestName),
                ServiceUrl = Text(o, "ServiceURL", LongestComment),
            };
            why = "";
            return true;
        }
        catch (Exception e) when (e is JsonException or InvalidOperationException)
        {
            // The reader's own words would repeat what the stranger wrote.
            why = "the message is not valid JSON, or nested too deep";
            return false;
        }
    }

    public byte[] Write()
    {
        using var to = new MemoryStream();
        using (var json = new Utf8JsonWriter(to))
        {
            json.WriteStartObject();
            json.WriteString(nameof(Type), Ok is null ? Type : Type + Answer);
            if (Ok is { } ok)
            {
                json.WriteBoolean("OK", ok);
                json.WriteString("Message", Words);
            }

            switch (Type)
            {
                case Join:
                    json.WriteString(nameof(Provider), Provider);
                    json.WriteString(nameof(StationName), StationName);
                    json.WriteString("StationUUID", Station);
                    WriteVersion(json);
                    json.WriteStartArray(nameof(Commits));
                    foreach (var c in Commits)
                    {
                        json.WriteStartObject();
                        WriteLine(json, c);
                        json.WriteEndObject();
                    }

                    json.WriteEndArray();
                    break;
                case Leave when Ok is null:
                    json.WriteString("FromStationUUID", Station);
                    break;
                case Commit when Told is { } told:
                    WriteLine(json, told);
                    break;
                case Request when Ok is null:
                    json.WriteString("FileUUID", File == Guid.Empty ? "" : File.ToString());
                    json.WriteStartArray("FromStationUUID");
                    json.WriteStringValue(Station);
                    json.WriteEndArray();
                    break;
            }

            json.WriteEndObject();
        }

        return to.ToArray();
    }

    private static void WriteVersion(Utf8JsonWriter json)
    {
        json.WriteNumber("verMajor", ExchangeNumbers.VersionMajor);
        json.WriteNumber("verMinor", ExchangeNumbers.VersionMinor);
    }

    private static void WriteLine(Utf8JsonWriter json, CommitLine c)
    {
        json.WriteString("FileUUID", c.File);
        json.WriteString("StationUUID", c.Station);
        json.WriteNumber("FileSize", c.Bytes);
        WriteVersion(json);
        json.WriteStartArray("ForStationsUUID");
        foreach (var f in c.For)
        {
            json.WriteStringValue(f);
        }

        json.WriteEndArray();
        json.WriteString("Comment", c.Comment);
        json.WriteString("FileName", c.FileName);
    }

    private static CommitLine Line(JsonElement o) => new(
        Ids(o, "FileUUID").FirstOrDefault(), Ids(o, "StationUUID").FirstOrDefault(), Math.Max(0, Number(o, "FileSize")),
        Text(o, "Comment", LongestComment), Text(o, "FileName", LongestName), [.. Ids(o, "ForStationsUUID")]);

    private static IEnumerable<JsonElement> Items(JsonElement o, string name) =>
        o.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.Array ? v.EnumerateArray().Where(i => i.ValueKind == JsonValueKind.Object) : [];

    private static string Text(JsonElement o, string name, int most) =>
        o.ValueKind == JsonValueKind.Object && o.TryGetProperty(name, out var v) && v.ValueKind == JsonValueKind.String
            ? PlainText.From(v.GetString() ?? "", most) : "";

    private static bool? Flag(JsonElement o, string name) => !o.TryGetProperty(name, out var v) ? null : v.ValueKind switch
    {
        JsonValueKind.True => true,
        JsonValueKind.False => false,
        JsonValueKind.String => string.Equals(v.GetString(), "true", StringComparison.OrdinalIgnoreCase),
        _ => null,
    };

    private static long Number(JsonElement o, string name) => !o.TryGetProperty(name, out var v) ? 0 : v.ValueKind switch
    {
        JsonValueKind.Number => v.TryGetInt64(out var n) ? n : 0,
        JsonValueKind.String => long.TryParse(v.GetString(), NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : 0,
        _ => 0,
    };

    /// <summary>Identities: one as a text, or a list of them. What is none is left out.</summary>
    private static IEnumerable<Guid> Ids(JsonElement o, string name)
    {
        if (!o.TryGetProperty(name, out var v))
        {
            return [];
        }

        var texts = v.ValueKind switch
        {
            JsonValueKind.String => [v],
            JsonValueKind.Array => v.EnumerateArray().Where(i => i.ValueKind == JsonValueKind.String).Take(ExchangeNumbers.MostNamed),
            _ => (IEnumerable<JsonElement>)[],
        };
        return [.. texts.Select(t => Guid.TryParse(t.GetString(), out var id) ? id : Guid.Empty).Where(id => id != Guid.Empty)];
    }
}
