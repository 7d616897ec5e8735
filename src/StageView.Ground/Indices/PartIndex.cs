using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A part's place in the list of parts of its rig, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first part, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<PartIndex>))]
public readonly record struct PartIndex(int Value) : IIndex<PartIndex>
{
    public static PartIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(PartIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static PartIndex IIndex<PartIndex>.At(int value) => new(value);
}
