using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A fixture's place in the list of fixtures of its rig, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first fixture, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<FixtureIndex>))]
public readonly record struct FixtureIndex(int Value) : IIndex<FixtureIndex>
{
    public static FixtureIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(FixtureIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static FixtureIndex IIndex<FixtureIndex>.At(int value) => new(value);
}
