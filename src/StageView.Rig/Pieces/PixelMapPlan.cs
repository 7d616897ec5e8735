using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Pieces;

/// <summary>How the pixels of a map find their places in a picture.</summary>
public enum PixelMapKind
{
    /// <summary>Thrown along the normal of a rectangle onto the surfaces as they hang at rest.</summary>
    Flat,

    /// <summary>Along the run of upright facets, seen from above: equal lengths of wall are equal widths of picture.</summary>
    Curve,

    /// <summary>Facet by facet in rows and columns, each the same share of the picture.</summary>
    Grid,

    /// <summary>Pixel by pixel, from a file.</summary>
    ByHand,
}

/// <summary>One pixel's place in a picture, as a file has it.</summary>
/// <param name="Fixture">Name in the rig.</param>
/// <param name="Geometry">The grid's geometry.</param>
/// <param name="Pixel">In the order of the wire, from 1.</param>
/// <param name="U">Middle, 0 at the picture's left edge to 1 at its right.</param>
/// <param name="V">Middle, 0 at its top to 1 at its bottom.</param>
/// <param name="Width">Share of the picture's width.</param>
/// <param name="Height">Share of its height.</param>
/// <param name="Address">Of its first byte, <c>universe.address</c>; empty without one.</param>
public sealed record PixelMapRow(string Fixture, string Geometry, int Pixel, float U, float V, float Width, float Height, string Address);

/// <summary>A fixed map from pixels to places in a picture, as the rig asks for it: what a processor knows of a rig at rest.</summary>
public sealed record PixelMapPlan
{
    public required string Name { get; init; }

    public required PixelMapKind Kind { get; init; }

    /// <summary>Fixtures whose pixels it has, in the order that was written.</summary>
    public IReadOnlyList<FixtureIndex> Fixtures { get; init; } = [];

    /// <summary>Of a flat map: the picture's top left corner, world m.</summary>
    public Vector3 Corner { get; init; }

    /// <summary>Of a flat map: along the picture's top edge, m.</summary>
    public Vector3 Across { get; init; } = Vector3.UnitX;

    /// <summary>Of a flat map: down the picture's left edge, m.</summary>
    public Vector3 Down { get; init; } = -Vector3.UnitZ;

    /// <summary>Of a grid: facets in a row, 1 or more.</summary>
    public int Columns { get; init; } = 1;

    /// <summary>Of a grid: rows of facets, 1 or more.</summary>
    public int Rows { get; init; } = 1;

    /// <summary>Of a grid: how the fixtures go over it.</summary>
    public PixelPath Order { get; init; }

    /// <summary>Quarter turns clockwise of the picture (flat, curve) or of each facet in its cell (grid), 0 to 3.</summary>
    public int QuarterTurns { get; init; }

    /// <summary>Whether that is then mirrored left to right.</summary>
    public bool Mirrored { get; init; }

    /// <summary>Of a map by hand.</summary>
    public IReadOnlyList<PixelMapRow> ByHand { get; init; } = [];

    /// <summary>Where it was written.</summary>
    public SourcePlace? Source { get; init; }
}
