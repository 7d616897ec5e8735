using StageView.Snapshot.Compare;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Sets;

/// <summary>The answer for one frame of a set; what a report shows and a stopped run resumes from.</summary>
public sealed record FrameResult
{
    public required string Name { get; init; }

    /// <summary>Its name in the base where that is another, or null.</summary>
    public string? BaseName { get; init; }

    public required FrameVerdict Verdict { get; init; }

    public int LargestLevels { get; init; }

    /// <summary>Largest difference of pictures of 16 bits that are equal at 8, of 65535; 0 where there is none.</summary>
    public int LargestDeep { get; init; }

    public int ChangedPixels { get; init; }

    public int FaintPixels { get; init; }

    public int EdgePixels { get; init; }

    public int IgnoredPixels { get; init; }

    public double ChangedShare { get; init; }

    public double? LargestPerceptual { get; init; }

    /// <summary>Areas that changed too faintly for a pixel to tell, in words, the largest first.</summary>
    public IReadOnlyList<string> Areas { get; init; } = [];

    /// <summary>What to know beside the verdict: sizes that differ, why a file can't be read.</summary>
    public string? Message { get; init; }

    public string Camera { get; init; } = "";

    public double? Seconds { get; init; }

    public string? Timecode { get; init; }

    /// <summary>Each setting with where it came from.</summary>
    public IReadOnlyList<string> Settings { get; init; } = [];

    public IReadOnlyList<Cause> Causes { get; init; } = [];

    /// <summary>What fixtures do otherwise though the picture passes; empty when it doesn't, or nothing does.</summary>
    public IReadOnlyList<Cause> OtherLevels { get; init; } = [];

    /// <summary>Picture files, for the report.</summary>
    public string? BaseFile { get; init; }

    public string? NewFile { get; init; }

    /// <summary>Picture of the difference, in the report's folder.</summary>
    public string? DifferenceFile { get; init; }

    /// <summary>A digest of everything the answer followed from: files by size and time, and settings.</summary>
    public string Key { get; init; } = "";

    /// <summary>Whether it makes the answer "no".</summary>
    public bool IsDifference => Verdict is not (FrameVerdict.Identical or FrameVerdict.WithinTolerance);
}
