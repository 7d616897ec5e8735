using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A photometric web's place in the list of webs of its rig, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first web, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<WebIndex>))]
public readonly record struct WebIndex(int Value) : IIndex<WebIndex>
{
    public static WebIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(WebIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static WebIndex IIndex<WebIndex>.At(int value) => new(value);
}
