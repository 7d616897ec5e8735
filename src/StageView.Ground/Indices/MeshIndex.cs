using System.Globalization;
using System.Text.Json.Serialization;

namespace StageView.Ground.Indices;

/// <summary>A mesh's place in the list of meshes of its rig, from 0, or <see cref="None"/>.</summary>
/// <remarks>As many bytes as an int. The default value is the first mesh, not none.</remarks>
/// <param name="Value">The place as a number, for indexing.</param>
[JsonConverter(typeof(IndexJson<MeshIndex>))]
public readonly record struct MeshIndex(int Value) : IIndex<MeshIndex>
{
    public static MeshIndex None => new(-1);

    public bool IsNone => Value < 0;

    public int CompareTo(MeshIndex other) => Value.CompareTo(other.Value);

    /// <summary>The number alone, as it stands in texts.</summary>
    public override string ToString() => Value.ToString(CultureInfo.InvariantCulture);

    static MeshIndex IIndex<MeshIndex>.At(int value) => new(value);
}
