namespace StageView.Snapshot.Compare;

/// <summary>
/// How much two frames may differ. The defaults are made for dark stages: ±1 level of noise in both frames passes (they then
/// differ by up to 2), a beam of 4 levels on black does not.
/// </summary>
public sealed record CompareSettings
{
    public static CompareSettings Default { get; } = new();

    /// <summary>
    /// For baselines of another driver or machine: what the two ways of drawing beams leave between them passes (about one pixel in a
    /// thousand, at edges). It can't tell a change of less than so many pixels, or of half a level over an area.
    /// </summary>
    public static CompareSettings OtherRenderer { get; } = new() { Renderer = RendererMatch.Other, Levels = 4, BlockLevels = 0.5, ChangedShare = 0.002 };

    /// <summary>What the frames come from; set with the tolerances that go with it.</summary>
    public RendererMatch Renderer { get; init; } = RendererMatch.Same;

    public CompareMode Mode { get; init; } = CompareMode.Levels;

    /// <summary>Largest difference of a channel that is still noise, levels, 0 to 255.</summary>
    public int Levels { get; init; } = 2;

    /// <summary>
    /// Largest shift of the mean of a 32×32 block, levels, above 0; 0.6 of it for 64×64, 0.4 for 128×128. It finds what is too faint for
    /// <see cref="Levels"/>, and passes what noise of the spread found there could do. 255 turns this off, and the test for small shifts with it.
    /// </summary>
    public double BlockLevels { get; init; } = 0.25;

    /// <summary>Whether pixels on an edge may take a value that their neighbours show already, as long as the edge as a whole stays put.</summary>
    public bool ForgiveEdges { get; init; } = true;

    /// <summary>Share of the frame that may change, 0 to 1.</summary>
    public double ChangedShare { get; init; }

    /// <summary>Largest OKLab (HyAB) distance that passes in <see cref="CompareMode.Perceptual"/>, above 0; black to white is 1.</summary>
    public double Perceptual { get; init; } = 0.009;

    /// <summary>Parts of the frame with rules of their own; a later one wins where they overlap.</summary>
    public IReadOnlyList<CompareRegion> Regions { get; init; } = [];
}
