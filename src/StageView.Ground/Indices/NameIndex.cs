using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A name's place in the list of names that the holder's text points to, from 0, or <see cref="None"/>. As many bytes as an int; the default value is the first name, not none.</summary>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<NameIndex>))]
public readonly record struct NameIndex(int Value) : IIndex<NameIndex>
{
    public static NameIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(NameIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static NameIndex IIndex<NameIndex>.At(int value) => new(value);
}
