using System.Text;
using System.Text.Json;

namespace StageView.Rig.Source;

/// <summary>Reads JSON with comments and trailing commas into <see cref="SourceNode"/>s. Bounded: 64 levels, 64 MiB.</summary>
internal static class SourceParser
{
    public const int MaxBytes = 64 << 20;
    public const int MaxDepth = 64;

    public static SourceNode? TryRead(string path, string shownAs, ProblemList problems)
    {
        byte[] bytes;
        try
        {
            var info = new FileInfo(path);
            if (!info.Exists)
            {
                problems.Error(SourcePlace.WholeOf(shownAs), Directory.Exists(path) ? "this is a folder: name the file in it" : "no such file");
                return null;
            }

            if (info.Length > MaxBytes)
            {
                problems.Error(SourcePlace.WholeOf(shownAs), $"the file is larger than {MaxBytes >> 20} MiB: is it the right one?");
                return null;
            }

            bytes = File.ReadAllBytes(path);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            problems.Error(SourcePlace.WholeOf(shownAs), $"can't be read: {e.Message}");
            return null;
        }

        return TryParse(bytes, shownAs, problems);
    }

    public static SourceNode? TryParse(ReadOnlySpan<byte> bytes, string shownAs, ProblemList problems)
    {
        var skipped = bytes.StartsWith(Encoding.UTF8.Preamble) ? Encoding.UTF8.Preamble.Length : 0;
        bytes = bytes[skipped..];

        if (bytes.Length == 0)
        {
            problems.Error(new SourcePlace(shownAs, 1, SourcePath.Top), "the file is empty: `stageview new DIR` writes one to start from");
            return null;
        }

        var lines = new LineFinder(bytes, skipped);
        var reader = ReaderOf(bytes);
        try
        {
            reader.Read();
            var root = ReadValue(ref reader, lines, shownAs, null, null, 0, problems);
            while (reader.Read())
            {
                // A second value makes the reader throw.
            }

            return root;
        }
        catch (JsonException e)
        {
            var text = e.Message;
            var cut = text.IndexOf(" LineNumber:", StringComparison.Ordinal);
            problems.Error(
                new SourcePlace(shownAs, (int)(e.LineNumber ?? 0) + 1, SourcePath.Top),
                $"not valid JSON: {(cut > 0 ? text[..cut] : text)}{CommaHint(text, bytes, lines)}");
            return null;
        }
        catch (InvalidOperationException)
        {
            problems.Error(new SourcePlace(shownAs, lines.LineOf(reader.TokenStartIndex), SourcePath.Top),
                "a text holds bytes that are not UTF-8: save the file as UTF-8");
            return null;
        }
    }

    private static Utf8JsonReader ReaderOf(ReadOnlySpan<byte> bytes) => new(bytes, new JsonReaderOptions
    {
        AllowTrailingCommas = true,
        CommentHandling = JsonCommentHandling.Skip,
        MaxDepth = MaxDepth,
    });

    /// <summary>A comma that was forgotten is noticed at what follows it, which may stand lines and comments on: names the line where it belongs.</summary>
    private static string CommaHint(string message, ReadOnlySpan<byte> bytes, LineFinder lines)
    {
        if (!message.Contains("Expected either ','", StringComparison.Ordinal) || message.StartsWith("'}'", StringComparison.Ordinal)
            || message.StartsWith("']'", StringComparison.Ordinal))
        {
            return "";
        }

        var reader = ReaderOf(bytes);
        long end = 1;
        try
        {
            while (reader.Read())
            {
                end = reader.BytesConsumed;
            }
        }
        catch (JsonException)
        {
            // Here it ended before, too.
        }

        return $" A comma may be missing at the end of line {lines.LineOf(end - 1)}.";
    }

    private static SourceNode ReadValue(
        ref Utf8JsonReader reader, LineFinder lines, string file, SourceNode? parent, string? key, int item, ProblemList problems)
    {
        var start = reader.TokenStartIndex;
        var node = ReadNode(ref reader, lines, file, parent, key, item, problems);
        node.Span = new SourceSpan(lines.ByteOf(start), lines.ByteOf(reader.BytesConsumed));
        return node;
    }

    private static SourceNode ReadNode(
        ref Utf8JsonReader reader, LineFinder lines, string file, SourceNode? parent, string? key, int item, ProblemList problems)
    {
        var line = lines.LineOf(reader.TokenStartIndex);
        switch (reader.TokenType)
        {
            case JsonTokenType.StartObject:
                var o = new SourceNode(file, line, SourceKind.Object, parent, key, item);
                while (reader.Read() && reader.TokenType != JsonTokenType.EndObject)
                {
                    var name = reader.GetString() ?? "";
                    var keyLine = lines.LineOf(reader.TokenStartIndex);
                    reader.Read();
                    var value = ReadValue(ref reader, lines, file, o, name, 0, problems);
                    if (o.Members.Exists(m => m.Key == name))
                    {
                        problems.Error(value.Place with { Line = keyLine }, $"\"{name}\" is written twice in the same object: keep one");
                    }
                    else
                    {
                        o.Members.Add(new SourceMember(name, keyLine, value));
                    }
                }

                return o;
            case JsonTokenType.StartArray:
                var a = new SourceNode(file, line, SourceKind.List, parent, key, item);
                while (reader.Read() && reader.TokenType != JsonTokenType.EndArray)
                {
                    a.Items.Add(ReadValue(ref reader, lines, file, a, null, a.Items.Count, problems));
                }

                return a;
            case JsonTokenType.String:
                return new SourceNode(file, line, SourceKind.Text, parent, key, item) { Text = reader.GetString() ?? "" };
            case JsonTokenType.Number:
                return new SourceNode(file, line, SourceKind.Number, parent, key, item)
                {
                    Number = reader.TryGetDouble(out var d) ? d : double.NaN,
                };
            case JsonTokenType.True or JsonTokenType.False:
                return new SourceNode(file, line, SourceKind.Flag, parent, key, item) { Flag = reader.GetBoolean() };
            default:
                return new SourceNode(file, line, SourceKind.Null, parent, key, item);
        }
    }

    /// <summary>Byte offset to line number, from 1.</summary>
    private sealed class LineFinder
    {
        private readonly List<long> _starts = [0];

        private readonly int _skipped;

        public LineFinder(ReadOnlySpan<byte> bytes, int skipped)
        {
            _skipped = skipped;
            for (var i = 0; i < bytes.Length; i++)
            {
                if (bytes[i] == (byte)'\n')
                {
                    _starts.Add(i + 1);
                }
            }
        }

        /// <summary>Offset in the file, the byte-order mark counted.</summary>
        public int ByteOf(long offset) => (int)offset + _skipped;

        public int LineOf(long offset)
        {
            var i = _starts.BinarySearch(offset);
            return i >= 0 ? i + 1 : ~i;
        }
    }
}
