using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;

namespace StageView.Light.Moments;

/// <summary>One mesh hung in the room at this instant.</summary>
public readonly record struct MeshInstance
{
    /// <summary>The mesh, in <see cref="Moment.Meshes"/>.</summary>
    public MeshIndex Mesh { get; init; }

    public Pose Pose { get; init; }

    public Vector3 Scale { get; init; }

    /// <summary>Diffuse albedo, linear Rec.709, 0 to 1; of what shines what is left beside that of light from all sides (<c>GlossShares.Matt</c>).</summary>
    public Vector3 Albedo { get; init; }

    /// <summary>The share of light at right angles that is thrown on as by a rough mirror, 0 to <c>Gloss.MostShine</c>; 0 for what is matt.</summary>
    public float Shine { get; init; }

    /// <summary>How rough that mirror is, <c>Gloss.LeastRoughness</c> to 1; says nothing without <see cref="Shine"/>.</summary>
    public float Roughness { get; init; }

    public SceneryKind Kind { get; init; }

    /// <summary>
    /// The side that a camera sees it from, a unit vector of the room: from behind it is not drawn, though it blocks light all the same. Zero for what is seen
    /// from everywhere.
    /// </summary>
    public Vector3 SeenFrom { get; init; }

    /// <summary>Its name, in <see cref="Moment.SceneryNames"/>, or none.</summary>
    public NameIndex Name { get; init; }

    /// <summary>The fixture it belongs to, or none.</summary>
    public FixtureIndex Fixture { get; init; }

    public bool BlocksLight => Kind != SceneryKind.FixtureBody;
}
