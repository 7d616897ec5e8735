using System.Globalization;
using System.Text;
using System.Text.Json;

namespace StageView.Live.RigFile;

/// <summary>
/// Where a value lies in the bytes of a JSON-with-comments file, found by its path (<c>$.hangs[3].at</c>), so that it
/// can be replaced without touching anything else.
/// </summary>
internal readonly record struct JsonSpan(int Start, int End, JsonTokenType Kind)
{
    /// <summary>Null when the file has nothing there, or isn't JSON.</summary>
    public static JsonSpan? Find(ReadOnlySpan<byte> text, string path)
    {
        if (!TrySteps(path, out var steps))
        {
            return null;
        }

        // The reader counts from behind a byte-order mark.
        var skipped = text.StartsWith(Encoding.UTF8.Preamble) ? 3 : 0;
        var reader = new Utf8JsonReader(text[skipped..], new JsonReaderOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip, MaxDepth = 64 });
        try
        {
            reader.Read();
            foreach (var step in steps)
            {
                if (!Enter(ref reader, step))
                {
                    return null;
                }
            }

            var kind = reader.TokenType;
            var start = (int)reader.TokenStartIndex;
            reader.Skip();
            return new JsonSpan(start + skipped, (int)reader.BytesConsumed + skipped, kind);
        }
        catch (JsonException)
        {
            return null;
        }
    }

    private static bool Enter(ref Utf8JsonReader reader, (string? Key, int Place) step)
    {
        if (step.Key is { } key)
        {
            if (reader.TokenType != JsonTokenType.StartObject)
            {
                return false;
            }

            while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
            {
                var hit = reader.ValueTextEquals(key);
                reader.Read();
                if (hit)
                {
                    return true;
                }

                reader.Skip();
            }

            return false;
        }

        if (reader.TokenType != JsonTokenType.StartArray)
        {
            return false;
        }

        for (var i = 0; reader.Read() && reader.TokenType != JsonTokenType.EndArray; i++)
        {
            if (i == step.Place)
            {
                return true;
            }

            reader.Skip();
        }

        return false;
    }

    private static bool TrySteps(string path, out List<(string? Key, int Place)> steps)
    {
        steps = [];
        if (!path.StartsWith('$'))
        {
            return false;
        }

        for (var i = 1; i < path.Length;)
        {
            if (path[i] == '[')
            {
                var close = path.IndexOf(']', i);
                if (close < 0 || !int.TryParse(path.AsSpan(i + 1, close - i - 1), NumberStyles.None, CultureInfo.InvariantCulture, out var place))
                {
                    return false;
                }

                steps.Add((null, place));
                i = close + 1;
            }
            else if (path[i] == '.')
            {
                var end = path.IndexOfAny(['.', '['], i + 1);
                end = end < 0 ? path.Length : end;
                steps.Add((path[(i + 1)..end], 0));
                i = end;
            }
            else
            {
                return false;
            }
        }

        return true;
    }
}
