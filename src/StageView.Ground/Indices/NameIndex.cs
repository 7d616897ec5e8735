using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>The place of a name in the list that its holder speaks of, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first name, not none.</remarks>
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
