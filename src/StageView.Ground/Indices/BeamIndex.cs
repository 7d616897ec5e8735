using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A beam's place in the list of beams of its moment, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first beam, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<BeamIndex>))]
public readonly record struct BeamIndex(int Value) : IIndex<BeamIndex>
{
    public static BeamIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(BeamIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static BeamIndex IIndex<BeamIndex>.At(int value) => new(value);
}
