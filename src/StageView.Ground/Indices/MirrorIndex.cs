using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A mirror's place in the list of mirrors of its moment, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first mirror, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<MirrorIndex>))]
public readonly record struct MirrorIndex(int Value) : IIndex<MirrorIndex>
{
    public static MirrorIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(MirrorIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static MirrorIndex IIndex<MirrorIndex>.At(int value) => new(value);
}
