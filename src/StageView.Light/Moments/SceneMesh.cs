using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;

namespace StageView.Light.Moments;

/// <summary>A triangle mesh in its own coordinates (metres, Z up), shared by its instances.</summary>
public sealed record SceneMesh
{
    public required string Name { get; init; }

    public required Vector3[] Positions { get; init; }

    /// <summary>One a position; unit length.</summary>
    public required Vector3[] Normals { get; init; }

    /// <summary>Three a triangle, counter-clockwise seen from outside.</summary>
    public required int[] Indices { get; init; }
}

public enum SceneryKind
{
    /// <summary>Floors, walls, risers, set pieces.</summary>
    Scenery,

    /// <summary>A performer-height figure: blocks light and is asked about in front-light checks.</summary>
    Person,

    /// <summary>Trusses and pipes.</summary>
    Structure,

    /// <summary>A fixture's own housing: drawn, never blocks light (a head would shade itself).</summary>
    FixtureBody,
}

/// <summary>One mesh hung in the room at this instant.</summary>
public readonly record struct MeshInstance
{
    /// <summary>The mesh, in <see cref="Moment.Meshes"/>.</summary>
    public MeshIndex Mesh { get; init; }

    public Pose Pose { get; init; }

    public Vector3 Scale { get; init; }

    /// <summary>Diffuse albedo, linear Rec.709, 0 to 1.</summary>
    public Vector3 Albedo { get; init; }

    public SceneryKind Kind { get; init; }

    /// <summary>Its name, in <see cref="Moment.SceneryNames"/>, or none.</summary>
    public NameIndex Name { get; init; }

    /// <summary>The fixture it belongs to, or none.</summary>
    public FixtureIndex Fixture { get; init; }

    public bool BlocksLight => Kind != SceneryKind.FixtureBody;
}
