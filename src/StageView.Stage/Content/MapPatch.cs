using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;

namespace StageView.Stage.Content;

/// <summary>Where a map has one surface in the picture.</summary>
public sealed record MapPatch
{
    public FixtureIndex Fixture { get; init; }

    /// <summary>Which of the fixture's emitters.</summary>
    public int Emitter { get; init; }

    /// <summary>The surface at rest.</summary>
    public PixelSurface Rest { get; init; }

    /// <summary>Picture coordinates of the surface's top left corner; of a globe, of its disc's.</summary>
    public Vector2 Corner { get; init; }

    /// <summary>From there along <see cref="PixelSurface.EdgeU"/>, picture coordinates.</summary>
    public Vector2 Right { get; init; }

    /// <summary>From there along <see cref="PixelSurface.EdgeV"/>, picture coordinates.</summary>
    public Vector2 Down { get; init; }

    /// <summary>Middle (x, y) and size (z, w) of each pixel, row by row, where they don't follow from the corner; null where they do.</summary>
    public Vector4[]? ByHand { get; init; }

    /// <summary>How the picture's u changes for a step from rest, along each world axis, 1/m.</summary>
    public Vector3 PerMetreU { get; init; }

    /// <summary>How the picture's v changes, 1/m.</summary>
    public Vector3 PerMetreV { get; init; }

    /// <summary>Unit, towards who sees the picture the right way round.</summary>
    public Vector3 Front { get; init; }

    /// <summary>Picture coordinates of the middle of a pixel at rest.</summary>
    public Vector2 MiddleOf(int column, int row) => ByHand is { } hand
        ? new Vector2(hand[(row * Rest.Columns) + column].X, hand[(row * Rest.Columns) + column].Y)
        : Corner + (Right * ((column + .5f) / Rest.Columns)) + (Down * ((row + .5f) / Rest.Rows));
}
