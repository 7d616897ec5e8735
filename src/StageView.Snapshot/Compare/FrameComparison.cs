namespace StageView.Snapshot.Compare;

/// <summary>How two frames differ.</summary>
public sealed record FrameComparison
{
    public required FrameVerdict Verdict { get; init; }

    /// <summary>Largest difference of any channel of any compared pixel, levels.</summary>
    public int LargestLevels { get; init; }

    /// <summary>Largest difference of pictures of 16 bits that are equal at 8, of 65535; 0 where there is none.</summary>
    public int LargestDeep { get; init; }

    /// <summary>Changed pixels, faint ones included.</summary>
    public int ChangedPixels { get; init; }

    /// <summary>Of those, pixels that only the statistics of their area gave away.</summary>
    public int FaintPixels { get; init; }

    /// <summary>Pixels over the tolerance that the edge test let pass.</summary>
    public int EdgePixels { get; init; }

    public int IgnoredPixels { get; init; }

    public int TotalPixels { get; init; }

    /// <summary>Largest OKLab distance; null unless asked for.</summary>
    public double? LargestPerceptual { get; init; }

    /// <summary>Areas whose statistics gave away a change too faint for a pixel to tell, the largest first.</summary>
    public IReadOnlyList<AreaChange> Areas { get; init; } = [];

    /// <summary>What became of each pixel; null when nothing differs.</summary>
    public ChangeMap? Map { get; init; }

    /// <summary>Changed pixels as a share of the frame, 0 to 1.</summary>
    public double ChangedShare => TotalPixels == 0 ? 0 : (double)ChangedPixels / TotalPixels;
}
