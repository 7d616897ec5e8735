using StageView.Snapshot.Compare;

namespace StageView.Snapshot.Frames;

/// <summary>Settings as one source states them: what is null is left to the sources below it.</summary>
public sealed record TolerancePart
{
    public CompareMode? Mode { get; init; }

    /// <summary>A set of tolerances to begin with: for frames of one renderer, or for baselines of another. What else is said here is laid over it.</summary>
    public RendererMatch? Renderer { get; init; }

    public int? Levels { get; init; }

    public double? BlockLevels { get; init; }

    public bool? ForgiveEdges { get; init; }

    public double? ChangedShare { get; init; }

    public double? Perceptual { get; init; }

    /// <summary>A picture whose black pixels are left out, relative to the file that names it.</summary>
    public string? Mask { get; init; }

    public IReadOnlyList<CompareRegion>? Regions { get; init; }
}
