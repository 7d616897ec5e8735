using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>The place of one hung mesh in the scenery of its moment, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first one, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<InstanceIndex>))]
public readonly record struct InstanceIndex(int Value) : IIndex<InstanceIndex>
{
    public static InstanceIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(InstanceIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static InstanceIndex IIndex<InstanceIndex>.At(int value) => new(value);
}
