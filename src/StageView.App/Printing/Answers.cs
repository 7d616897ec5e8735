using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace StageView.App.Printing;

/// <summary>How verbs print: JSON documents and plain tables.</summary>
internal static class Answers
{
    /// <summary>camelCase, enums as words, indented; NaN and infinities as words since JSON has none.</summary>
    public static JsonSerializerOptions Json { get; } = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        WriteIndented = true, NewLine = "\n",
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
        NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase) },
    };

    public static void WriteJson(object answer) => Console.WriteLine(JsonSerializer.Serialize(answer, Json));

    /// <summary>A table in plain text, columns as wide as their widest cell, numbers to the right.</summary>
    public static void Table(string[] heads, IEnumerable<string[]> rows)
    {
        var all = rows.ToList();
        var widths = heads.Select((h, c) => all.Select(r => r[c].Length).Append(h.Length).Max()).ToArray();
        var right = heads.Select((_, c) => all.Count > 0 && all.TrueForAll(r => r[c].Length > 0 && (char.IsDigit(r[c][0]) || r[c][0] == '-'))).ToArray();
        Console.WriteLine(Line(heads, widths, right));
        foreach (var row in all)
        {
            Console.WriteLine(Line(row, widths, right));
        }

        Console.WriteLine();
    }

    private static string Line(string[] cells, int[] widths, bool[] right) =>
        string.Join("  ", cells.Select((cell, c) => right[c] ? cell.PadLeft(widths[c]) : cell.PadRight(widths[c]))).TrimEnd();
}
