using System.Text.Json;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>In JSON an index is its number.</summary>
public sealed class IndexJson<T> : JsonConverter<T>
    where T : struct, IIndex<T>
{
    public override T Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) => T.At(reader.GetInt32());

    public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options)
    {
        ArgumentNullException.ThrowIfNull(writer);
        writer.WriteNumberValue(value.Value);
    }
}
