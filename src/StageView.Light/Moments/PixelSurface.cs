using System.Numerics;
using StageView.Ground.Indices;

namespace StageView.Light.Moments;

public enum PixelShape
{
    /// <summary>A flat parallelogram of columns × rows pixels, emitting from its front as a Lambertian surface.</summary>
    Flat,

    /// <summary>A globe: <see cref="PixelSurface.EdgeU"/>'s length is its diameter; emits all round.</summary>
    Globe,
}

/// <summary>
/// A surface of light: a facet of a wall, a strip, the face of a batten, a globe. A curved wall is a run of flat facets.
/// </summary>
public readonly record struct PixelSurface
{
    public FixtureIndex Fixture { get; init; }

    /// <summary>Which of the fixture's emitters it is, from 0.</summary>
    public int Emitter { get; init; }

    public PixelShape Shape { get; init; }

    /// <summary>Corner at column 0, row 0 (top left seen from the front), m; the centre for a globe.</summary>
    public Vector3 Origin { get; init; }

    /// <summary>From column 0 to the far edge of the last column, m.</summary>
    public Vector3 EdgeU { get; init; }

    /// <summary>From row 0 to the far edge of the last row (downwards as content goes), m. The front normal is EdgeV × EdgeU.</summary>
    public Vector3 EdgeV { get; init; }

    public int Columns { get; init; }

    public int Rows { get; init; }

    /// <summary>First pixel in <see cref="Moment.Pixels"/>; row by row, Columns × Rows of them.</summary>
    public int FirstPixel { get; init; }

    /// <summary>Share of each pixel's pitch that emits, along u and v, 0 to 1; luminances are those of the emitting part.</summary>
    public float Fill { get; init; }

    public Vector3 FrontNormal => Vector3.Normalize(Vector3.Cross(EdgeV, EdgeU));
}
