using System.Text;
using System.Text.Json;
using StageView.Rig.Source;

namespace StageView.Live.RigFile;

/// <summary>
/// Where a value lies in the bytes of a JSON-with-comments file, found by its path, so that it can be replaced without
/// touching anything else.
/// </summary>
internal readonly record struct JsonSpan(int Start, int End, JsonTokenType Kind)
{
    /// <summary>Null when the file has nothing there, or isn't JSON.</summary>
    public static JsonSpan? Find(ReadOnlySpan<byte> text, SourcePath path)
    {
        // The reader counts from behind a byte-order mark.
        var skipped = text.StartsWith(Encoding.UTF8.Preamble) ? 3 : 0;
        var reader = new Utf8JsonReader(text[skipped..],
            new JsonReaderOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip, MaxDepth = 64 });
        try
        {
            reader.Read();
            foreach (var step in path.Steps)
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

    private static bool Enter(ref Utf8JsonReader reader, SourceStep step)
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
            if (i == step.Item)
            {
                return true;
            }

            reader.Skip();
        }

        return false;
    }
}
