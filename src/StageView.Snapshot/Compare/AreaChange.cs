namespace StageView.Snapshot.Compare;

/// <summary>A part of the frame that changed so faintly that only the statistics of its blocks tell.</summary>
/// <param name="Kind">What it did.</param>
/// <param name="X">Middle, share of the frame's width from the left, 0 to 1.</param>
/// <param name="Y">Middle, share of the frame's height from the top, 0 to 1.</param>
/// <param name="Share">Its blocks as a share of the frame, 0 to 1.</param>
public sealed record AreaChange(AreaChangeKind Kind, double X, double Y, double Share)
{
    /// <summary>Mean red, green and blue before, levels of 255.</summary>
    public IReadOnlyList<double> Before { get; init; } = [];

    /// <summary>Mean red, green and blue after, levels of 255.</summary>
    public IReadOnlyList<double> After { get; init; } = [];

    /// <summary>How far it moved to the right, pixels, or how far its brighter side lies right of its darker one; 0 when it did neither.</summary>
    public double Right { get; init; }

    /// <summary>The same down.</summary>
    public double Down { get; init; }

    /// <summary>How far its hue turned in OKLab, degrees; 0 unless it was tinted.</summary>
    public double HueDegrees { get; init; }
}
