using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>Compares two pictures: equal bytes first, then channel differences, the edge test, shifted blocks, and perception on request.</summary>
public static class FrameComparer
{
    /// <param name="before">The baseline.</param>
    /// <param name="after">The new frame.</param>
    /// <param name="settings">How much they may differ.</param>
    /// <param name="mask">Pixels to leave out, of the frames' size, or null.</param>
    public static FrameComparison Compare(FrameImage before, FrameImage after, CompareSettings settings, FrameMask? mask = null)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(settings);
        if (before.Width != after.Width || before.Height != after.Height)
        {
            return new FrameComparison { Verdict = FrameVerdict.SizeMismatch };
        }

        if (before.Rgba.AsSpan().SequenceEqual(after.Rgba))
        {
            return new FrameComparison { Verdict = FrameVerdict.Identical, TotalPixels = before.PixelCount };
        }

        return new ComparePass(before, after, settings, mask).Run();
    }
}
