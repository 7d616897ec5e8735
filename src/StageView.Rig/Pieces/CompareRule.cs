namespace StageView.Rig.Pieces;

/// <summary>What may differ in frames of this rig when two shows are compared; null is left to the comparison's own defaults.</summary>
public sealed record CompareRule
{
    /// <summary>Frames it holds for: a pattern of their names, * and ? allowed.</summary>
    public string Frames { get; init; } = "*";

    /// <summary>Largest difference of a channel that passes, levels of 255.</summary>
    public int? Levels { get; init; }

    /// <summary>Largest shift of a block's mean that passes, levels.</summary>
    public double? BlockLevels { get; init; }

    /// <summary>Share of the frame that may change, 0 to 1.</summary>
    public double? ChangedShare { get; init; }

    public bool? ForgiveEdges { get; init; }

    /// <summary>Full path of a picture whose black pixels are not compared, or null.</summary>
    public string? Mask { get; init; }

    public IReadOnlyList<CompareArea> Areas { get; init; } = [];
}

/// <summary>A rectangle of the frame with its own rule; sides as shares of the frame, 0 to 1 from the top left.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Left">Left side.</param>
/// <param name="Top">Top side.</param>
/// <param name="Width">Its width.</param>
/// <param name="Height">Its height.</param>
/// <param name="Ignore">True when nothing in it is compared.</param>
/// <param name="Levels">Tolerance in it, levels of 255, or null.</param>
public sealed record CompareArea(string Name, double Left, double Top, double Width, double Height, bool Ignore, int? Levels);
