using System.Text;
using System.Text.Json;
using StageView.Ground.Files;

namespace StageView.Rig.Source;

/// <summary>
/// Reads JSON with comments and trailing commas into <see cref="SourceNode"/>s. Bounded: levels, bytes, keys of an object, length of a text, and values
/// over all files of a rig (<see cref="SourceBudget"/>).
/// </summary>
internal static class SourceParser
{
    public const int MaxDepth = 64;

    /// <summary>There may be a key for each universe.</summary>
    public const int MaxKeys = 65_536;

    /// <summary>Bytes of a text as it is written.</summary>
    public const int MaxText = 65_536;

    /// <summary>Up to here keys are compared one by one.</summary>
    private const int FewKeys = 16;

    public static SourceNode? TryRead(string path, string shownAs, ProblemList problems)
    {
        if (BoundedFile.TryRead(path, SourceBudget.MaxBytes, out var bytes, out var why))
        {
            return TryParse(bytes, shownAs, problems);
        }

        if (why == BoundedFile.Empty)
        {
            problems.Error(new SourcePlace(shownAs, 1, SourcePath.Top), why + ": `stageview new DIR` writes one to start from");
        }
        else
        {
            problems.Error(SourcePlace.WholeOf(shownAs), why);
        }

        return null;
    }

    public static SourceNode? TryParse(ReadOnlySpan<byte> bytes, string shownAs, ProblemList problems)
    {
        problems.Budget.Bytes += bytes.Length;
        if (problems.Budget.Bytes > SourceBudget.MaxBytes)
        {
            problems.Error(SourcePlace.WholeOf(shownAs), $"with this file the rig's files hold more than {SourceBudget.MaxBytes >> 20} MiB");
            return null;
        }

        var skipped = bytes.StartsWith(Encoding.UTF8.Preamble) ? Encoding.UTF8.Preamble.Length : 0;
        bytes = bytes[skipped..];
        var lines = new LineFinder(bytes, skipped);
        var reader = ReaderOf(bytes);
        try
        {
            reader.Read();
            var root = ReadValue(ref reader, ref lines, new Slot(shownAs, null, null, 0), problems);
            while (reader.Read())
            {
                // A second value makes the reader throw.
            }

            return root;
        }
        catch (BoundException e)
        {
            problems.Error(e.Place, e.Message);
            return null;
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
        MaxDepth = MaxDepth + 1,
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

    private static SourceNode ReadValue(ref Utf8JsonReader reader, ref LineFinder lines, in Slot slot, ProblemList problems)
    {
        var start = reader.TokenStartIndex;
        var node = ReadNode(ref reader, ref lines, slot, problems);
        node.Span = new SourceSpan(lines.ByteOf(start), lines.ByteOf(reader.BytesConsumed));
        return node;
    }

    private static SourceNode ReadNode(ref Utf8JsonReader reader, ref LineFinder lines, in Slot slot, ProblemList problems)
    {
        var line = lines.LineOf(reader.TokenStartIndex);
        if (++problems.Budget.Values > SourceBudget.MaxValues)
        {
            throw slot.Bound(line, $"with this the rig's files hold more than {SourceBudget.MaxValues} values");
        }

        if (reader.CurrentDepth >= MaxDepth && reader.TokenType is JsonTokenType.StartObject or JsonTokenType.StartArray)
        {
            throw slot.Bound(line, $"nested deeper than {MaxDepth} levels");
        }

        switch (reader.TokenType)
        {
            case JsonTokenType.StartObject:
                return ReadObject(ref reader, ref lines, slot.Node(line, SourceKind.Object), problems);
            case JsonTokenType.StartArray:
                var a = slot.Node(line, SourceKind.List);
                for (var item = 0; reader.Read() && reader.TokenType != JsonTokenType.EndArray; item++)
                {
                    a.Add(ReadValue(ref reader, ref lines, new Slot(slot.File, a, null, item), problems));
                }

                return a;
            case JsonTokenType.String:
                return new SourceNode(slot.File, line, SourceKind.Text, slot.Parent, slot.Key, slot.Item) { Text = TextOf(ref reader, slot, line) };
            case JsonTokenType.Number:
                return new SourceNode(slot.File, line, SourceKind.Number, slot.Parent, slot.Key, slot.Item)
                {
                    Number = reader.TryGetDouble(out var d) ? d : double.NaN,
                };
            case JsonTokenType.True or JsonTokenType.False:
                return new SourceNode(slot.File, line, SourceKind.Flag, slot.Parent, slot.Key, slot.Item) { Flag = reader.GetBoolean() };
            default:
                return slot.Node(line, SourceKind.Null);
        }
    }

    private static SourceNode ReadObject(ref Utf8JsonReader reader, ref LineFinder lines, SourceNode o, ProblemList problems)
    {
        HashSet<string>? names = null;
        while (reader.Read() && reader.TokenType != JsonTokenType.EndObject)
        {
            var keyLine = lines.LineOf(reader.TokenStartIndex);
            var name = TextOf(ref reader, new Slot(o.File, o, "", 0), keyLine);
            reader.Read();
            var value = ReadValue(ref reader, ref lines, new Slot(o.File, o, name, 0), problems);
            if (names is null && o.Members.Count == FewKeys)
            {
                names = o.Members.Select(m => m.Key).ToHashSet(StringComparer.Ordinal);
            }

            if (names is null ? o.Members.Any(m => m.Key == name) : !names.Add(name))
            {
                problems.Error(value.Place with { Line = keyLine }, $"\"{name}\" is written twice in the same object: keep one");
            }
            else if (o.Members.Count == MaxKeys)
            {
                throw new BoundException(o.Place with { Line = keyLine }, $"an object with more than {MaxKeys} keys");
            }
            else
            {
                o.Add(new SourceMember(name, keyLine, value));
            }
        }

        return o;
    }

    private static string TextOf(ref Utf8JsonReader reader, in Slot slot, int line) =>
        reader.ValueSpan.Length > MaxText
            ? throw slot.Bound(line, $"a text of {reader.ValueSpan.Length} bytes: at most {MaxText} are read")
            : reader.GetString() ?? "";

    /// <summary>Where a value stands.</summary>
    private readonly record struct Slot(string File, SourceNode? Parent, string? Key, int Item)
    {
        public SourceNode Node(int line, SourceKind kind) => new(File, line, kind, Parent, Key, Item);

        public BoundException Bound(int line, string text) => new(Node(line, SourceKind.Null).Place, text);
    }

    private sealed class BoundException(SourcePlace place, string text) : Exception(text)
    {
        public SourcePlace Place { get; } = place;
    }

    /// <summary>Byte offset to line number, from 1; quick for offsets that rise.</summary>
    private ref struct LineFinder(ReadOnlySpan<byte> bytes, int skipped)
    {
        private readonly ReadOnlySpan<byte> _bytes = bytes;
        private int _at;
        private int _line = 1;

        /// <summary>Offset in the file, the byte-order mark counted.</summary>
        public readonly int ByteOf(long offset) => (int)offset + skipped;

        public int LineOf(long offset)
        {
            if (offset < _at)
            {
                (_at, _line) = (0, 1);
            }

            _line += _bytes[_at..(int)offset].Count((byte)'\n');
            _at = (int)offset;
            return _line;
        }
    }
}
